-- Whom does a practice's plan have watched, and when? One row per turn, player and foot, in the order of the practice.
select position, starts_at, minutes, logger, player_id, foot, stage
from planned_turn
where practice_id = $practice_id
order by position, player_id, foot;
