-- Which is practice number 0, 1, …? One row per practice, in the order of days, as count_cells.sql numbers them.
select
    practice_id,
    squad_id,
    cast(hash(practice_id) >> 1 as bigint) as code,
    held_on,
    strftime(held_on, '%Y-%m') as month,
    case when label = '' then strftime(held_on, '%Y-%m-%d') else strftime(held_on, '%Y-%m-%d ') || label end as practice
from practice
order by held_on, label, practice_id;
