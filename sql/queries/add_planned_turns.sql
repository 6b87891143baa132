-- Adds the focal turns of a practice's plan: the rows of `rows`.
insert into planned_turn (practice_id, position, starts_at, minutes, logger, player_id, foot, stage)
select practice_id::uuid, position, starts_at, minutes, logger, player_id::uuid, foot::foot, stage
from rows;
