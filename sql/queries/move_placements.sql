-- Gives a player's placements to another id, without notes; $last_day null: all, else those made by then (UTC).
update placement set player_id = $new_id, note = null
where player_id = $player_id
    and ($last_day::date is null or cast(placed_at as date) <= $last_day::date);
