-- Who, still named, struck or was placed in practices held by a day? One row per player, with what there is by then and
-- what is later.
with counted as (
    select
        strike.player_id,
        count_if(practice.held_on <= $last_day::date) as strikes,
        count_if(practice.held_on > $last_day::date) as later
    from strike
    inner join practice using (practice_id)
    group by strike.player_id
),
placed as (
    select
        player_id,
        count_if(cast(placed_at as date) <= $last_day::date) as placements,
        count_if(cast(placed_at as date) > $last_day::date) as later
    from placement
    group by player_id
)
select
    player.player_id,
    coalesce(counted.strikes, 0) as strikes,
    coalesce(placed.placements, 0) as placements,
    coalesce(counted.later, 0) + coalesce(placed.later, 0) as later
from player
left join counted using (player_id)
left join placed using (player_id)
where player.player_id not in (select player_id from anonymous_player)
    and (counted.strikes > 0 or placed.placements > 0)
order by player.player_id;
