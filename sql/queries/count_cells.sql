-- How many attempts and how many on target? One row per player × foot × stage × practice with attempts, split further
-- by surface and distance band only where asked for. Players and practices stand as numbers (list_player_numbers.sql), which
-- are quicker to group than ids. Distance bands: whole metres under 10 m, even metres beyond, for distances on grass
-- are paced. $squad_id, $player_id, $first_day, $last_day, $stage, $surface, $nearest_m, $farthest_m null: no such
-- filter; strikes whose distance is not known are within no distances.
with player_number as (
    select player_id, row_number() over (order by shirt_number nulls last, display_name, player_id) - 1 as number
    from player
),

practice_number as (
    select practice_id, row_number() over (order by held_on, label, practice_id) - 1 as number
    from practice
)

select
    player_number.number as player,
    valid_strike.foot,
    valid_strike.stage,
    practice_number.number as practice,
    case when $by_surface then valid_strike.surface end as surface,
    case
        when not $by_distance then null
        when valid_strike.distance_m < 10 then round(valid_strike.distance_m)
        else 2 * round(valid_strike.distance_m / 2)
    end as distance,
    cast(sum(valid_strike.is_attempt) as bigint) as attempts,
    cast(sum(valid_strike.is_on_target) as bigint) as on_target
from valid_strike
inner join player_number using (player_id)
inner join practice_number using (practice_id)
where ($squad_id::uuid is null or valid_strike.squad_id = $squad_id::uuid)
    and ($player_id::uuid is null or valid_strike.player_id = $player_id::uuid)
    and ($first_day::date is null or valid_strike.held_on >= $first_day::date)
    and ($last_day::date is null or valid_strike.held_on <= $last_day::date)
    and ($stage::varchar is null or valid_strike.stage = $stage::varchar)
    and ($surface::varchar is null or valid_strike.surface::varchar = $surface::varchar)
    and ($nearest_m::double is null or valid_strike.distance_m >= $nearest_m::double)
    and ($farthest_m::double is null or valid_strike.distance_m <= $farthest_m::double)
    and valid_strike.is_attempt = 1
group by all;
