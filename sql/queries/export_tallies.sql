-- How many attempts and how many on target, for a file? One row per player × foot × stage × surface × distance ×
-- practice. $squad_id, $first_day, $last_day null: no such filter.
select
    tally.held_on as "date",
    tally.practice_label as practice,
    squad.name as squad,
    player.display_name as player,
    tally.foot,
    tally.stage,
    tally.surface,
    tally.distance_m,
    tally.attempts,
    tally.on_target,
    tally.missed_left as "left",
    tally.missed_right as "right",
    tally.missed_over as "over",
    tally.missed_short as "short",
    tally.blocked
from tally
inner join player using (player_id)
inner join squad on squad.squad_id = tally.squad_id
where ($squad_id::uuid is null or tally.squad_id = $squad_id::uuid)
    and ($first_day::date is null or tally.held_on >= $first_day::date)
    and ($last_day::date is null or tally.held_on <= $last_day::date)
order by all;
