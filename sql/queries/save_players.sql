-- Adds the players of `rows`, or changes those that are there by id.
insert into player (player_id, squad_id, display_name, shirt_number, birth_year, preferred_foot, active)
select player_id::uuid, squad_id::uuid, display_name, shirt_number, birth_year, preferred_foot::preferred_foot, active
from rows
on conflict (player_id) do update
set
    squad_id = excluded.squad_id,
    display_name = excluded.display_name,
    shirt_number = excluded.shirt_number,
    birth_year = excluded.birth_year,
    preferred_foot = excluded.preferred_foot,
    active = excluded.active;
