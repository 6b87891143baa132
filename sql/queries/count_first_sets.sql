-- Is the first set of the day like the later ones? One row per player × foot × stage × practice with two sets or more:
-- attempts and on target of the first set, and of all later ones. Strikes without a set are taken $strikes_a_set at a
-- time; those of one instant are one set. A practice whose first set is not known (two begin at once) is left out.
-- Players stand as numbers (list_player_numbers.sql). $squad_id, $player_id, $first_day, $last_day, $stage, $surface,
-- $nearest_m, $farthest_m null: no such filter.
with player_number as (
    select player_id, row_number() over (order by shirt_number nulls last, display_name, player_id) - 1 as number
    from player
),

chosen as (
    select
        *,
        count(*) over (partition by practice_id, player_id, foot, stage, set_id, struck_at) as at_once,
        row_number() over (partition by practice_id, player_id, foot, stage, set_id order by struck_at, strike_id) - 1
            as place
    from valid_strike
    where is_attempt = 1
        and stage is not null
        and ($squad_id::uuid is null or squad_id = $squad_id::uuid)
        and ($player_id::uuid is null or player_id = $player_id::uuid)
        and ($first_day::date is null or held_on >= $first_day::date)
        and ($last_day::date is null or held_on <= $last_day::date)
        and ($stage::varchar is null or stage = $stage::varchar)
        and ($surface::varchar is null or surface::varchar = $surface::varchar)
        and ($nearest_m::double is null or distance_m >= $nearest_m::double)
        and ($farthest_m::double is null or distance_m <= $farthest_m::double)
),

sets as (
    select
        practice_id,
        player_id,
        foot,
        stage,
        case
            when set_id is not null then cast(set_id as varchar)
            when at_once > 1 then cast(struck_at as varchar)
            else cast(place // $strikes_a_set as varchar)
        end as set_name,
        rank() over (partition by practice_id, player_id, foot, stage order by min(struck_at)) as place,
        count(*) as attempts,
        sum(is_on_target) as on_target
    from chosen
    group by practice_id, player_id, foot, stage, set_name
)

select
    player_number.number as player,
    sets.foot,
    sets.stage,
    sets.practice_id,
    cast(sum(sets.attempts) filter (where sets.place = 1) as bigint) as first_attempts,
    cast(sum(sets.on_target) filter (where sets.place = 1) as bigint) as first_on_target,
    cast(sum(sets.attempts) filter (where sets.place > 1) as bigint) as later_attempts,
    cast(sum(sets.on_target) filter (where sets.place > 1) as bigint) as later_on_target
from sets
inner join player_number using (player_id)
group by player_number.number, sets.foot, sets.stage, sets.practice_id
having count(*) > 1 and count(*) filter (where sets.place = 1) = 1
order by player, sets.foot, sets.stage, sets.practice_id;
