-- In what order did the evidence come? One row per attempt at one of $stages by a player who is in the squad of the
-- practice, by track, then time. A track is one player's foot at one stage: (player × 2 + right foot) × stages + place
-- in $stages, with players as numbers (list_player_numbers.sql). `practice` is a number of the practice that later
-- practices do not move, `tangent` that of half the angle the target showed, null where it is not known. Only strikes
-- stored after row $after_row, up to row $last_row (strikes_seen.sql). Null: no such filter.
with stage_number as (
    select unnest($stages::varchar []) as stage, unnest(range(len($stages::varchar []))) as number
),

player_number as (
    select
        player_id,
        squad_id,
        row_number() over (order by shirt_number nulls last, display_name, player_id) - 1 as number
    from player
)

select
    cast(
        (player_number.number * 2 + if(valid_strike.foot = 'right', 1, 0)) * len($stages::varchar [])
        + stage_number.number as uinteger
    ) as track,
    epoch_us(valid_strike.struck_at) as struck_at_us,
    cast(hash(valid_strike.practice_id) >> 1 as bigint) as practice,
    valid_strike.target_width_m / 2 / valid_strike.distance_m as tangent,
    cast(valid_strike.is_on_target as integer) as hits
from valid_strike
inner join player_number
    on valid_strike.player_id = player_number.player_id and valid_strike.squad_id = player_number.squad_id
inner join stage_number using (stage)
where valid_strike.is_attempt = 1
    and ($squad_ids::uuid [] is null or list_contains($squad_ids::uuid [], valid_strike.squad_id))
    and ($player_id::uuid is null or valid_strike.player_id = $player_id::uuid)
    and ($first_day::date is null or valid_strike.held_on >= $first_day::date)
    and ($last_day::date is null or valid_strike.held_on <= $last_day::date)
    and ($after_row::bigint is null or valid_strike.row_number > $after_row::bigint)
    and ($last_row::bigint is null or valid_strike.row_number <= $last_row::bigint)
order by track, struck_at_us, practice, tangent;
