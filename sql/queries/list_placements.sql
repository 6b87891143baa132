-- Where has the coach placed whom? One row per placement that stands, oldest first. $squad_id null: every squad.
select
    placement.placement_id,
    placement.player_id,
    player.display_name as player,
    placement.foot,
    placement.stage,
    placement.placed_at,
    placement.suggested_stage,
    placement.suggested_status,
    placement.note
from placement
inner join player using (player_id)
where placement.withdrawn_at is null
    and ($squad_id::uuid is null or player.squad_id = $squad_id::uuid)
order by placement.placed_at, placement.placement_id;
