-- Values no record can have: a year of birth, a shirt or a date out of this world. Must return no rows.
select cast(player_id as varchar) as id
from player
where birth_year not between 1990 and 2100 or shirt_number not between 0 and 999
union all
select cast(practice_id as varchar) as id
from practice
where held_on not between date '1950-01-01' and cast(now() as date) + interval 2 year or week <> date_trunc('week', held_on)
union all
select cast(strike_id as varchar) as id from strike where struck_at < timestamptz '1950-01-01 00:00:00+00';
