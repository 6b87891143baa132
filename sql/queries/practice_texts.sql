-- What was typed by hand about practices? One row per practice.
select practice_id, held_on, label, place, notes from practice order by held_on, practice_id;
