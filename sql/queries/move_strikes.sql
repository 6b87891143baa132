-- Gives a player's strikes to another id; $last_day null: all, else those of practices held by then.
update strike set player_id = $new_id
where player_id = $player_id
    and (
        $last_day::date is null
        or practice_id in (select practice_id from practice where held_on <= $last_day::date)
    );
