-- Puts other notes beside placements. Takes a table `rows`, one row per placement.
update placement set note = rows.note from rows where placement.placement_id = cast(rows.placement_id as uuid);
