-- Which of these strikes are stored? One row per strike of `$strike_ids` that is there, voided or not.
select
    strike.strike_id,
    strike.practice_id,
    strike.player_id,
    strike.foot,
    correction.strike_id is not null as is_void
from strike
left join correction using (strike_id)
where strike.strike_id in (select unnest($strike_ids::uuid[]));
