-- Which kept plans speak of a player? One row per practice; $last_day null: all, else of practices held by then.
select practice_id
from practice_plan
inner join practice using (practice_id)
where ($last_day::date is null or practice.held_on <= $last_day::date)
    and (
        contains(practice_plan.document, cast($player_id::uuid as varchar))
        or practice_id in (
            select practice_id from planned_strikes where player_id = $player_id
            union all
            select practice_id from planned_turn where player_id = $player_id
        )
    )
order by practice_id;
