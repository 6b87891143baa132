-- Takes back the mark of a player who stands for somebody no longer named.
delete from anonymous_player where player_id = $player_id;
