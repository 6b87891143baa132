-- Where did the strikes go? One row per player × foot × stage × distance × target width: on target, missed to the
-- left, missed to the right, and off target on a side nobody noted. Strikes over, short or blocked say nothing about
-- direction; without distance or target width the angle is not known. Players stand as numbers
-- (list_player_numbers.sql). $squad_id, $player_id, $first_day, $last_day, $stage, $surface, $nearest_m, $farthest_m
-- null: no such filter.
with player_number as (
    select player_id, row_number() over (order by shirt_number nulls last, display_name, player_id) - 1 as number
    from player
)

select
    player_number.number as player,
    valid_strike.foot,
    valid_strike.stage,
    valid_strike.distance_m,
    valid_strike.target_width_m,
    cast(sum(valid_strike.is_on_target) as bigint) as on_target,
    cast(count(*) filter (where valid_strike.miss = 'left') as bigint) as missed_left,
    cast(count(*) filter (where valid_strike.miss = 'right') as bigint) as missed_right,
    cast(count(*) filter (where valid_strike.outcome = 'off target' and valid_strike.miss is null) as bigint)
        as missed_unsided
from valid_strike
inner join player_number using (player_id)
where valid_strike.is_attempt = 1
    and (valid_strike.miss is null or valid_strike.miss in ('left', 'right'))
    and valid_strike.distance_m is not null
    and valid_strike.target_width_m is not null
    and ($squad_id::uuid is null or valid_strike.squad_id = $squad_id::uuid)
    and ($player_id::uuid is null or valid_strike.player_id = $player_id::uuid)
    and ($first_day::date is null or valid_strike.held_on >= $first_day::date)
    and ($last_day::date is null or valid_strike.held_on <= $last_day::date)
    and ($stage::varchar is null or valid_strike.stage = $stage::varchar)
    and ($surface::varchar is null or valid_strike.surface::varchar = $surface::varchar)
    and ($nearest_m::double is null or valid_strike.distance_m >= $nearest_m::double)
    and ($farthest_m::double is null or valid_strike.distance_m <= $farthest_m::double)
group by all
order by all;
