-- Every strike that still counts: not voided by a correction. One row per strike, with its practice and squad.
create or replace view valid_strike as
select
    strike.*,
    practice.squad_id,
    practice.held_on,
    practice.week,
    practice.label as practice_label
from strike
inner join practice using (practice_id)
where not exists (select 1 from correction where correction.strike_id = strike.strike_id);
