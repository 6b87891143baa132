-- Takes a player out of the audit log, whose entries stay.
update audit set player_id = null where player_id = $player_id;
