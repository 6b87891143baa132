-- Every strike that counts: not voided by a correction, not another logger's look at the same strike. One row per
-- strike, with its practice and squad.
-- The counting rule stands here and nowhere else in SQL: attempts are on target plus off target; blocked is neither.
create or replace view valid_strike as
select
    strike.*,
    strike.rowid as row_number,
    case when strike.outcome = 'blocked' then 0 else 1 end as is_attempt,
    case when strike.outcome = 'on target' then 1 else 0 end as is_on_target,
    practice.squad_id,
    practice.held_on,
    practice.week,
    practice.label as practice_label
from strike
inner join practice using (practice_id)
where not exists (select 1 from correction where correction.strike_id = strike.strike_id)
    and not exists (select 1 from second_look where second_look.strike_id = strike.strike_id);
