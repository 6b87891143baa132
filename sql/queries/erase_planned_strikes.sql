-- Takes away what plans asked of one player.
delete from planned_strikes where player_id = $player_id;
