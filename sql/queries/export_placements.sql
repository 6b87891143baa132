-- Every placement with its player's name, for a file; also those withdrawn. One row per placement.
select
    placement.placement_id,
    placement.placed_at,
    player.display_name as player,
    placement.player_id,
    squad.name as squad,
    placement.foot,
    placement.stage,
    placement.suggested_stage,
    placement.suggested_status,
    placement.note,
    placement.withdrawn_at
from placement
inner join player using (player_id)
inner join squad using (squad_id)
order by placement.placed_at, placement.placement_id;
