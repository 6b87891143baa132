-- Puts other texts beside practices. Takes a table `rows`, one row per practice.
update practice set label = rows.label, place = rows.place, notes = rows.notes
from rows
where practice.practice_id = cast(rows.practice_id as uuid);
