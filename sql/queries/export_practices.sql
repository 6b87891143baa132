-- Every practice, for a file. One row per practice.
select
    practice.practice_id,
    squad.name as squad,
    practice.held_on as "date",
    practice.label as practice,
    practice.place,
    practice.pitch_surface,
    practice.notes
from practice
inner join squad using (squad_id)
order by practice.held_on, practice.label, practice.practice_id;
