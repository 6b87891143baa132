-- Corrections of strikes that are not there. Must return no rows.
select correction.strike_id
from correction
left join strike using (strike_id)
where strike.strike_id is null;
