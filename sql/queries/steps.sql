-- In what order did the evidence come? One row per instant of a player's foot at a stage: hits and misses, in time.
-- Strikes of one instant have no known order and stand in one row. Strikes without a stage say nothing here.
select
    player_id,
    foot,
    stage,
    struck_at,
    practice_id,
    held_on,
    distance_m,
    target_width_m,
    cast(sum(is_on_target) as bigint) as hits,
    cast(sum(is_attempt - is_on_target) as bigint) as misses
from valid_strike
where stage is not null
    and is_attempt = 1
    and ($squad_id::uuid is null or squad_id = $squad_id::uuid)
    and ($player_id::uuid is null or player_id = $player_id::uuid)
    and ($first_day::date is null or held_on >= $first_day::date)
    and ($last_day::date is null or held_on <= $last_day::date)
group by player_id, foot, stage, struck_at, practice_id, held_on, distance_m, target_width_m
order by player_id, foot, stage, struck_at, practice_id, distance_m, target_width_m;
