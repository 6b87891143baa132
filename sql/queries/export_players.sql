-- Every player, for a file. One row per player.
select
    player.player_id,
    player.display_name as player,
    squad.name as squad,
    player.shirt_number,
    player.birth_year,
    player.preferred_foot,
    player.active
from player
inner join squad using (squad_id)
order by squad.name, player.shirt_number nulls last, player.display_name, player.player_id;
