-- How often did each player strike in each week? One row per player and week with strikes, blocked ones included: they
-- load the leg as well. $squad_id, $first_day, $last_day null: no such filter.
select
    player.player_id,
    player.display_name as player,
    valid_strike.week,
    cast(count(*) as bigint) as strikes
from valid_strike
inner join player using (player_id)
where ($squad_id::uuid is null or valid_strike.squad_id = $squad_id::uuid)
    and ($first_day::date is null or valid_strike.held_on >= $first_day::date)
    and ($last_day::date is null or valid_strike.held_on <= $last_day::date)
group by player.player_id, player.display_name, player.shirt_number, valid_strike.week
order by player.shirt_number nulls last, player.display_name, player.player_id, valid_strike.week;
