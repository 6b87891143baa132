-- Erases the row of a player, the last that is kept about them.
delete from player where player_id = $player_id;
