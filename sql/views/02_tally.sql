-- The facts everything counts from: one row per player × foot × stage × surface × distance × practice.
-- The counting rule stands here and nowhere else in SQL: attempts = on target + off target; blocked is neither.
create or replace view tally as
select
    squad_id,
    practice_id,
    held_on,
    week,
    practice_label,
    player_id,
    foot,
    stage,
    surface,
    distance_m,
    target_width_m,
    cast(sum(case when outcome = 'blocked' then 0 else 1 end) as bigint) as attempts,
    cast(sum(case when outcome = 'on target' then 1 else 0 end) as bigint) as on_target,
    cast(sum(case when miss = 'left' then 1 else 0 end) as bigint) as missed_left,
    cast(sum(case when miss = 'right' then 1 else 0 end) as bigint) as missed_right,
    cast(sum(case when miss = 'over' then 1 else 0 end) as bigint) as missed_over,
    cast(sum(case when miss = 'short' then 1 else 0 end) as bigint) as missed_short,
    cast(sum(case when outcome = 'blocked' then 1 else 0 end) as bigint) as blocked
from valid_strike
group by
    squad_id, practice_id, held_on, week, practice_label, player_id, foot, stage, surface, distance_m, target_width_m;
