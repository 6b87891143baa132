-- Plans, planned strikes or focal turns of practices or players that are not there. Must return no rows.
select practice_plan.practice_id
from practice_plan
anti join practice using (practice_id)
union all
select planned.practice_id
from (
    select practice_id, player_id from planned_strikes
    union all
    select practice_id, player_id from planned_turn
) as planned
left join practice_plan using (practice_id)
left join player using (player_id)
where practice_plan.practice_id is null or player.player_id is null;
