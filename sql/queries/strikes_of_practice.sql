-- What was logged in this practice? One row per set (or strike outside a set) that counts, the latest first.
select
    min(valid_strike.player_id) as player_id,
    min(player.display_name) as player,
    min(valid_strike.foot) as foot,
    min(valid_strike.stage) as stage,
    min(valid_strike.surface) as surface,
    min(valid_strike.distance_m) as distance_m,
    min(valid_strike.source) as source,
    max(valid_strike.struck_at) as struck_at,
    max(valid_strike.strike_id) as last_strike_id,
    list(cast(valid_strike.strike_id as varchar) order by valid_strike.strike_id) as strike_ids,
    cast(sum(valid_strike.is_attempt) as bigint) as attempts,
    cast(sum(valid_strike.is_on_target) as bigint) as on_target,
    min(valid_strike.outcome) as outcome,
    min(valid_strike.miss) as miss
from valid_strike
inner join player using (player_id)
where valid_strike.practice_id = $practice_id::uuid
group by
    valid_strike.player_id, valid_strike.foot, valid_strike.stage,
    case when valid_strike.source = 'tap' then valid_strike.strike_id
    else coalesce(valid_strike.set_id, valid_strike.strike_id) end
order by struck_at desc, last_strike_id desc
limit $most;
