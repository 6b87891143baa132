-- Takes away the focal turns of a practice's plan, before another plan takes its place.
delete from planned_turn where practice_id = $practice_id;
