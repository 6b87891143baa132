-- Adds the squads of `rows`, or changes those that are there by id.
insert into squad (squad_id, name, ladder_name)
select squad_id::uuid, name, ladder_name from rows
on conflict (squad_id) do update set name = excluded.name, ladder_name = excluded.ladder_name;
