-- Keeps a practice's plan, in place of the one it had.
insert into practice_plan (practice_id, minutes, made_at, document)
values ($practice_id, $minutes, $made_at, $document)
on conflict (practice_id) do update
set minutes = excluded.minutes, made_at = excluded.made_at, document = excluded.document;
