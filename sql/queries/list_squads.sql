-- Which squads are there? One row per squad, with how many active players it has.
select
    squad.squad_id,
    squad.name,
    squad.ladder_name,
    cast(count(player.player_id) as bigint) as active_players
from squad
left join player on player.squad_id = squad.squad_id and player.active
group by squad.squad_id, squad.name, squad.ladder_name
order by squad.name;
