-- Changes what is said about one practice.
update practice
set place = $place, pitch_surface = $pitch_surface::pitch_surface, notes = $notes
where practice_id = $practice_id::uuid;
