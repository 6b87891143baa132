-- Which of these practices have more than one logger? One row per practice.
select practice_id
from strike
where practice_id in (select unnest($practice_ids::uuid[])) and logger is not null
group by practice_id
having count(distinct logger) > 1;
