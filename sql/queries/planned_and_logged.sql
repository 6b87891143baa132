-- What did plans ask for, and what was logged? One row per practice with a plan × player × foot × stage that was planned
-- or logged: planned and watched strikes, attempts. $practice_id null: every practice of the squad between the days;
-- $squad_id, $first_day, $last_day null: no such filter.
with asked as (
    select practice.practice_id, practice.held_on, practice.label
    from practice
    inner join practice_plan using (practice_id)
    where ($practice_id::uuid is null or practice.practice_id = $practice_id::uuid)
        and ($squad_id::uuid is null or practice.squad_id = $squad_id::uuid)
        and ($first_day::date is null or practice.held_on >= $first_day::date)
        and ($last_day::date is null or practice.held_on <= $last_day::date)
),

counted as (
    select practice_id, player_id, foot, stage, strikes, watched, 0 as attempts
    from planned_strikes
    union all
    select practice_id, player_id, foot, stage, 0, 0, attempts
    from tally
)

select
    asked.practice_id,
    asked.held_on,
    asked.label,
    counted.player_id,
    player.display_name as player,
    counted.foot,
    counted.stage,
    cast(sum(counted.strikes) as bigint) as planned,
    cast(sum(counted.watched) as bigint) as watched,
    cast(sum(counted.attempts) as bigint) as logged
from asked
inner join counted using (practice_id)
inner join player using (player_id)
group by
    asked.practice_id, asked.held_on, asked.label, counted.player_id, player.display_name, player.shirt_number,
    counted.foot, counted.stage
having planned > 0 or logged > 0
order by
    asked.held_on, asked.label, asked.practice_id, player.shirt_number nulls last, player.display_name,
    counted.player_id, counted.foot, counted.stage nulls last;
