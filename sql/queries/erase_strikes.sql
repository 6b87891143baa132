-- Erases every strike of a player.
delete from strike where player_id = $player_id;
