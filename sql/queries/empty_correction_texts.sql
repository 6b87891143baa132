-- Empties what was typed by hand beside corrections of strikes of practices held by a day.
update correction set corrected_by = null, why = 'no longer kept'
where why != 'no longer kept'
    and strike_id in (
        select strike_id from strike inner join practice using (practice_id) where held_on <= $last_day
    );
