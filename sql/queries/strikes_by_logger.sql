-- What did each logger of this practice write down? One row per strike that was not voided and whose logger is known,
-- in time. Strikes that one logger put down at one instant (a called set) have no known order and are left out.
select
    player_id,
    foot,
    stage,
    logger,
    epoch(struck_at) as seconds,
    outcome
from strike
where practice_id = $practice_id::uuid
    and logger is not null
    and not exists (select 1 from correction where correction.strike_id = strike.strike_id)
qualify count(*) over (partition by player_id, foot, stage, logger, struck_at) = 1
order by player_id, foot, stage, logger, struck_at, strike_id;
