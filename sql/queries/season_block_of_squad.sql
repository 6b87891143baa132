-- Which block of weeks did a coach choose for a squad? One row, or none.
select starts_on, weeks, practices_a_week, other_foot_weeks from season_block where squad_id = $squad_id;
