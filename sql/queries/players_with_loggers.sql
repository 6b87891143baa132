-- Which of these players did several loggers follow in these practices? One row per practice × player.
select practice_id, player_id
from strike
where practice_id in (select unnest($practice_ids::uuid[]))
    and player_id in (select unnest($player_ids::uuid[]))
    and logger is not null
group by practice_id, player_id
having count(distinct logger) > 1;
