-- Which strikes of these players in these practices did somebody else log too? Where several loggers follow one player's foot at a stage,
-- the one who began first counts; another's strike within half a minute of one of theirs is a second look.
with followed as (
    select
        strike.strike_id,
        strike.practice_id,
        strike.player_id,
        strike.foot,
        coalesce(strike.stage, '') as stage,
        strike.logger,
        strike.struck_at,
        min(strike.struck_at) over (
            partition by strike.practice_id, strike.player_id, strike.foot, strike.stage, strike.logger
        ) as began_at
    from strike
    where strike.practice_id in (select unnest($practice_ids::uuid[]))
        and strike.player_id in (select unnest($player_ids::uuid[]))
        and strike.logger is not null
        and not exists (select 1 from correction where correction.strike_id = strike.strike_id)
)

insert into second_look
select distinct later.strike_id
from followed as later
inner join followed as first
    on first.practice_id = later.practice_id
    and first.player_id = later.player_id
    and first.foot = later.foot
    and first.stage = later.stage
    and first.logger != later.logger
    and (first.began_at, first.logger) < (later.began_at, later.logger)
    and first.struck_at between later.struck_at - interval 30 second and later.struck_at + interval 30 second;
