-- Erases the corrections of a player's strikes.
delete from correction where strike_id in (select strike_id from strike where player_id = $player_id);
