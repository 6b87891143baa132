-- Empties what was typed by hand about practices held by a day.
update practice set place = null, notes = null
where held_on <= $last_day and (place is not null or notes is not null);
