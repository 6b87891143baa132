-- How many attempts and on target has each player, by foot and stage? One row per club × season × player × foot × stage
-- of the ladder (age band, ball arrival, distance, target width), all integers, so that parts add up exactly: the same
-- statement over the rows of several parts merges them.
select
    club_id,
    season,
    player_id,
    age_band,
    ball_arrival,
    distance_m,
    target_width_dm,
    foot,
    cast(sum(practices) as bigint) as practices,
    cast(sum(attempts) as bigint) as attempts,
    cast(sum(on_target) as bigint) as on_target,
    cast(sum(sum_nn) as bigint) as sum_nn
from lake_tally
group by club_id, season, player_id, age_band, ball_arrival, distance_m, target_width_dm, foot
