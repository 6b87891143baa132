-- Which plan has a practice? One row, or none.
select minutes, made_at, document from practice_plan where practice_id = $practice_id;
