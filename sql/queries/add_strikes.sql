-- Stores the strikes of `rows`; one whose id is there already is left alone.
insert into strike (
    strike_id, practice_id, player_id, stage, foot, surface, outcome, miss, distance_m, target_width_m, struck_at,
    struck_at_phone, set_id, source, logger
)
select
    strike_id::uuid, practice_id::uuid, player_id::uuid, stage, foot::foot, surface::surface, outcome::outcome,
    miss::miss, distance_m, target_width_m, struck_at, struck_at_phone, set_id::uuid, source::source, logger
from rows
on conflict (strike_id) do nothing;
