-- How do practices of one size differ, by foot and stage? One row per foot × stage of the ladder × strikes in a practice,
-- all integers: with Σ on_target² by size, how far strikes of a practice hang together follows exactly. The same
-- statement over the rows of several parts merges them.
select
    age_band,
    ball_arrival,
    distance_m,
    target_width_dm,
    foot,
    practice_attempts,
    cast(sum(practices) as bigint) as practices,
    cast(sum(on_target) as bigint) as on_target,
    cast(sum(sum_yy) as bigint) as sum_yy
from lake_tally
group by age_band, ball_arrival, distance_m, target_width_dm, foot, practice_attempts
