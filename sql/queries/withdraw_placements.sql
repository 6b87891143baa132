-- Marks the placements of `rows` as taken back, where they are not marked yet.
update placement set withdrawn_at = rows.withdrawn_at
from rows
where placement.placement_id = rows.placement_id::uuid and placement.withdrawn_at is null;
