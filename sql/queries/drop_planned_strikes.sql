-- Takes away what a practice's plan asked of each foot, before another plan takes its place.
delete from planned_strikes where practice_id = $practice_id;
