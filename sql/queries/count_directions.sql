-- Where did the strikes go? One row per player × foot × stage × distance × target width: on target, missed to the
-- left, missed to the right, and off target on a side nobody noted. Strikes over, short or blocked say nothing about
-- direction; without distance or target width the angle is not known. Players stand as numbers
-- (list_player_numbers.sql). $squad_id, $player_id, $first_day, $last_day, $stage, $surface, $nearest_m, $farthest_m
-- null: no such filter.
with player_number as (
    select player_id, row_number() over (order by shirt_number nulls last, display_name, player_id) - 1 as number
    from player
),

counted as (
    select
        player_id,
        foot,
        stage,
        distance_m,
        target_width_m,
        cast(sum(is_on_target) as bigint) as on_target,
        cast(count(*) filter (where miss = 'left') as bigint) as missed_left,
        cast(count(*) filter (where miss = 'right') as bigint) as missed_right,
        cast(count(*) filter (where outcome = 'off target' and miss is null) as bigint) as missed_unsided
    from valid_strike
    where is_attempt = 1
        and (miss is null or miss in ('left', 'right'))
        and distance_m is not null
        and target_width_m is not null
        and ($squad_id::uuid is null or squad_id = $squad_id::uuid)
        and ($player_id::uuid is null or player_id = $player_id::uuid)
        and ($first_day::date is null or held_on >= $first_day::date)
        and ($last_day::date is null or held_on <= $last_day::date)
        and ($stage::varchar is null or stage = $stage::varchar)
        and ($surface::varchar is null or surface::varchar = $surface::varchar)
        and ($nearest_m::double is null or distance_m >= $nearest_m::double)
        and ($farthest_m::double is null or distance_m <= $farthest_m::double)
    group by all
)

select player_number.number as player, counted.* exclude (player_id)
from counted
inner join player_number using (player_id)
order by all;
