-- Who plays? One row per player, in the order of shirts, then names. $squad_id null: every squad.
select
    player.player_id,
    player.squad_id,
    squad.name as squad,
    player.display_name,
    player.shirt_number,
    player.birth_year,
    player.preferred_foot,
    player.active
from player
inner join squad using (squad_id)
where $squad_id::uuid is null or player.squad_id = $squad_id::uuid
order by player.shirt_number nulls last, player.display_name, player.player_id;
