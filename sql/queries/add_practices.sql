-- Adds the practices of `rows` that are not there yet, by id or by squad, date and label.
insert into practice (practice_id, squad_id, held_on, week, label, place, pitch_surface, notes)
select
    practice_id::uuid, squad_id::uuid, held_on, cast(date_trunc('week', held_on) as date), label, place,
    pitch_surface::pitch_surface, notes
from rows
on conflict do nothing;
