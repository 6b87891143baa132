-- Adds what a practice's plan asks of each foot: the rows of `rows`.
insert into planned_strikes (practice_id, player_id, foot, stage, strikes, watched)
select practice_id::uuid, player_id::uuid, foot::foot, stage, strikes, watched
from rows;
