-- When was each player of a squad last watched, before a day? One row per player with strikes that somebody tapped or
-- signed: the last day, and how many days before the last practice with such strikes that was.
with watched as (
    select player_id, held_on
    from valid_strike
    where squad_id = $squad_id::uuid
        and held_on < $day::date
        and (logger is not null or source = 'tap')
)

select
    player.display_name as player,
    max(watched.held_on) as last_day,
    cast((select max(held_on) from watched) - max(watched.held_on) as bigint) as days_before_the_last
from watched
inner join player using (player_id)
group by player.player_id, player.display_name;
