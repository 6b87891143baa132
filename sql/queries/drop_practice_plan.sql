-- Drops the plan kept for a practice.
delete from practice_plan where practice_id = $practice_id;
