-- What was typed by hand beside corrections? One row per correction.
select correction.strike_id, strike.player_id, correction.corrected_at, correction.corrected_by, correction.why
from correction
left join strike using (strike_id)
order by correction.corrected_at, correction.strike_id;
