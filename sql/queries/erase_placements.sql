-- Erases every placement of a player.
delete from placement where player_id = $player_id;
