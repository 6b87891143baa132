-- Who is player number 0, 1, …? One row per player, in the order of shirts, then names, as count_cells.sql numbers them.
select player_id, display_name as player, preferred_foot
from player
order by shirt_number nulls last, display_name, player_id;
