-- Placements of players that are not there. Must return no rows.
select placement.placement_id
from placement
left join player using (player_id)
where player.player_id is null;
