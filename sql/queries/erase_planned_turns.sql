-- Takes away the focal turns in which plans had one player watched.
delete from planned_turn where player_id = $player_id;
