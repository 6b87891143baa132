-- Keeps the block of weeks a coach chose for a squad, in place of the one before.
insert into season_block (squad_id, starts_on, weeks, practices_a_week, other_foot_weeks)
values ($squad_id, $starts_on, $weeks, $practices_a_week, $other_foot_weeks)
on conflict (squad_id) do update
set
    starts_on = excluded.starts_on,
    weeks = excluded.weeks,
    practices_a_week = excluded.practices_a_week,
    other_foot_weeks = excluded.other_foot_weeks;
