-- The facts everything counts from: one row per player × foot × stage × surface × distance × practice.
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
    cast(sum(is_attempt) as bigint) as attempts,
    cast(sum(is_on_target) as bigint) as on_target,
    cast(sum(case when miss = 'left' then 1 else 0 end) as bigint) as missed_left,
    cast(sum(case when miss = 'right' then 1 else 0 end) as bigint) as missed_right,
    cast(sum(case when miss = 'over' then 1 else 0 end) as bigint) as missed_over,
    cast(sum(case when miss = 'short' then 1 else 0 end) as bigint) as missed_short,
    cast(sum(case when outcome = 'blocked' then 1 else 0 end) as bigint) as blocked
from valid_strike
group by
    squad_id, practice_id, held_on, week, practice_label, player_id, foot, stage, surface, distance_m, target_width_m;
