-- Puts other texts beside corrections. Takes a table `rows`, one row per correction.
update correction set corrected_by = rows.corrected_by, why = rows.why
from rows
where correction.strike_id = cast(rows.strike_id as uuid);
