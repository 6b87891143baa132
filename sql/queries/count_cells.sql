-- How many attempts and how many on target? One row per player × foot × stage × practice with attempts, split further
-- by surface and distance band only where asked for. Players and practices stand as numbers (list_player_numbers.sql), which
-- are quicker to handle than ids. Distance bands: whole metres under 10 m, even metres beyond, for distances on grass
-- are paced. $squad_id, $player_id, $first_day, $last_day, $stage, $surface, $nearest_m, $farthest_m null: no such
-- filter; strikes whose distance is not known are within no distances.
with player_number as (
    select player_id, row_number() over (order by shirt_number nulls last, display_name, player_id) - 1 as number
    from player
),

practice_number as (
    select practice_id, row_number() over (order by held_on, label, practice_id) - 1 as number
    from practice
),

counted as (
    select
        player_id,
        practice_id,
        foot,
        stage,
        case when $by_surface then surface end as surface,
        case
            when not $by_distance then null
            when distance_m < 10 then round(distance_m)
            else 2 * round(distance_m / 2)
        end as distance,
        cast(sum(is_attempt) as bigint) as attempts,
        cast(sum(is_on_target) as bigint) as on_target
    from valid_strike
    where ($squad_id::uuid is null or squad_id = $squad_id::uuid)
        and ($player_id::uuid is null or player_id = $player_id::uuid)
        and ($first_day::date is null or held_on >= $first_day::date)
        and ($last_day::date is null or held_on <= $last_day::date)
        and ($stage::varchar is null or stage = $stage::varchar)
        and ($surface::varchar is null or surface::varchar = $surface::varchar)
        and ($nearest_m::double is null or distance_m >= $nearest_m::double)
        and ($farthest_m::double is null or distance_m <= $farthest_m::double)
        and is_attempt = 1
    group by all
)

select
    player_number.number as player,
    counted.foot,
    counted.stage,
    practice_number.number as practice,
    counted.surface,
    counted.distance,
    counted.attempts,
    counted.on_target
from counted
inner join player_number using (player_id)
inner join practice_number using (practice_id);
