-- Which plan did a squad keep last? One row, or none.
select practice_plan.document
from practice_plan
inner join practice using (practice_id)
where practice.squad_id = $squad_id
order by practice_plan.made_at desc
limit 1;
