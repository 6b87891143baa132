-- Every season, for a file. One row per season.
select season_id, name as season, starts_on, ends_on from season order by starts_on, name;
