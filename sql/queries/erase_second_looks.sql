-- Erases the marks of a player's strikes that two people logged.
delete from second_look where strike_id in (select strike_id from strike where player_id = $player_id);
