-- Adds the seasons of `rows`, or changes those that are there by id.
insert into season (season_id, name, starts_on, ends_on)
select season_id::uuid, name, starts_on, ends_on from rows
on conflict (season_id) do update
set name = excluded.name, starts_on = excluded.starts_on, ends_on = excluded.ends_on;
