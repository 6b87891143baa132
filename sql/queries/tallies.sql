-- How many attempts and how many on target? One row per player × foot × stage × practice, split further by surface,
-- distance band and target only where asked for. Distance bands: whole metres under 10 m, even metres beyond, for
-- distances on grass are paced. $squad_id, $player_id, $first_day, $last_day null: no such filter.
select
    player_id,
    foot,
    stage,
    practice_id,
    held_on,
    practice_label,
    case when $by_surface then surface end as surface,
    case
        when not $by_distance then null
        when distance_m < 10 then round(distance_m)
        else 2 * round(distance_m / 2)
    end as distance,
    cast(sum(attempts) as bigint) as attempts,
    cast(sum(on_target) as bigint) as on_target,
    cast(sum(missed_left) as bigint) as missed_left,
    cast(sum(missed_right) as bigint) as missed_right,
    cast(sum(missed_over) as bigint) as missed_over,
    cast(sum(missed_short) as bigint) as missed_short,
    cast(sum(blocked) as bigint) as blocked
from tally
where ($squad_id::uuid is null or squad_id = $squad_id::uuid)
    and ($player_id::uuid is null or player_id = $player_id::uuid)
    and ($first_day::date is null or held_on >= $first_day::date)
    and ($last_day::date is null or held_on <= $last_day::date)
group by all
order by all;
