-- Adds the placements of `rows`; one whose id is there already is left alone.
insert into placement (placement_id, player_id, foot, stage, placed_at, suggested_stage, suggested_status, note)
select
    placement_id::uuid, player_id::uuid, foot::foot, stage, placed_at, suggested_stage,
    suggested_status::readiness_status, note
from rows
on conflict (placement_id) do nothing;
