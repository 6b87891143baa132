-- Takes one placement back; it stays in the table, marked.
update placement set withdrawn_at = $withdrawn_at
where placement_id = $placement_id::uuid and withdrawn_at is null;
