-- Every strike with names and ids, for a file. One row per strike; $with_voided also those a correction voided.
select
    strike.strike_id,
    strike.struck_at,
    strike.struck_at_phone,
    player.display_name as player,
    strike.player_id,
    squad.name as squad,
    practice.label as practice,
    strike.practice_id,
    practice.held_on as "date",
    strike.stage,
    strike.foot,
    strike.surface,
    strike.outcome,
    strike.miss,
    strike.distance_m,
    strike.target_width_m,
    strike.set_id,
    strike.source,
    strike.logger
from strike
inner join player using (player_id)
inner join practice using (practice_id)
inner join squad on squad.squad_id = practice.squad_id
where ($with_voided or not exists (select 1 from correction where correction.strike_id = strike.strike_id))
    and ($squad_id::uuid is null or practice.squad_id = $squad_id::uuid)
    and ($first_day::date is null or practice.held_on >= $first_day::date)
    and ($last_day::date is null or practice.held_on <= $last_day::date)
order by strike.struck_at, strike.strike_id;
