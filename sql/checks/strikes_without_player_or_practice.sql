-- Strikes whose player or practice is not there. Must return no rows.
select strike.strike_id
from strike
left join player using (player_id)
left join practice using (practice_id)
where player.player_id is null or practice.practice_id is null;
