-- Is everyone logged? One row per active player of the squad × foot: attempts in this practice.
select
    player.player_id,
    player.display_name as player,
    player.shirt_number,
    feet.foot,
    cast(coalesce(sum(valid_strike.is_attempt), 0) as bigint) as attempts,
    cast(coalesce(sum(valid_strike.is_on_target), 0) as bigint) as on_target
from player
cross join (select unnest(enum_range(null::foot)) as foot) as feet
inner join practice on practice.practice_id = $practice_id::uuid and practice.squad_id = player.squad_id
left join valid_strike
    on valid_strike.player_id = player.player_id
    and valid_strike.foot = feet.foot
    and valid_strike.practice_id = practice.practice_id
where player.active
group by player.player_id, player.display_name, player.shirt_number, feet.foot
order by player.shirt_number nulls last, player.display_name, player.player_id, feet.foot;
