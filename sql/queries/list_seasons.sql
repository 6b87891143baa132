-- Which seasons are there? One row per season, the latest first.
select season_id, name, starts_on, ends_on
from season
order by starts_on desc, name;
