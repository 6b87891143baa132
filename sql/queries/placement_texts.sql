-- What was typed by hand beside placements? One row per placement with a note.
select placement_id, player_id, placed_at, note from placement where note is not null order by placed_at, placement_id;
