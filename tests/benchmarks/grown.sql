-- Fills an empty database with $squads squads of 20 and $strikes strikes: six sets of ten a player and practice, by
-- turns with either foot, four practices at a stage and then the next one; a set is struck from one distance with one
-- surface, its strikes ten seconds apart. Players differ, and so do a player's days. The same size, the same strikes.
create temp table player_of as
select
    number,
    md5('player ' || number)::uuid as player_id,
    0.35 + 0.4 * (hash(number) % 1000) / 1000 as rate
from range($squads * 20) as numbers(number);

create temp table practice_of as
select
    number,
    number % $squads as squad,
    md5('practice ' || number)::uuid as practice_id,
    date '2000-01-01' + (3 * (number // $squads))::integer as held_on,
    epoch_ms(date '2000-01-01' + (3 * (number // $squads))::integer) + 61200000 as starts_at_ms
from range($strikes // 1200 + 1) as numbers(number);

insert into squad
select md5('squad ' || number)::uuid, 'Squad ' || number, $ladder from range($squads) as numbers(number);

insert into player
select
    player_id, md5('squad ' || number // 20)::uuid, 'Player ' || number, number % 20 + 1, 2014,
    (case when number % 4 = 0 then 'left' else 'right' end)::preferred_foot, true
from player_of;

insert into practice (practice_id, squad_id, held_on, week, label)
select practice_id, md5('squad ' || squad)::uuid, held_on, date_trunc('week', held_on)::date, ''
from practice_of;

insert into strike (
    strike_id, practice_id, player_id, stage, foot, surface, outcome, miss, distance_m, target_width_m, struck_at,
    set_id, source
)
with numbered as (
    select
        number,
        number // 1200 as practice,
        number // 1200 % $squads * 20 + number // 60 % 20 as player,
        number // 1200 // $squads // 4 % 7 as position,
        number // 10 as set_number,
        number % 60 * 10000 as after_ms,
        hash(number // 10) as set_draw,
        hash(number // 60, 1) % 1000 / 1000 as form,
        hash(number) as draw
    from range($strikes) as numbers(number)
),

struck as (
    select
        numbered.*,
        player_of.player_id,
        practice_of.practice_id,
        practice_of.starts_at_ms + numbered.after_ms as struck_at_ms,
        case
            when draw % 50 = 0 then 'blocked'
            when draw // 50 % 10000 < 10000 * (player_of.rate + 0.2 * (form - 0.5)) then 'on target'
            else 'off target'
        end as outcome
    from numbered
    inner join player_of on player_of.number = numbered.player
    inner join practice_of on practice_of.number = numbered.practice
)

select
    ((struck_at_ms::uhugeint << 80) + draw)::uuid,
    practice_id,
    player_id,
    stages.stage,
    (case when set_number % 2 = 0 then 'left' else 'right' end)::foot,
    (case when set_draw % 4 = 0 then 'laces' else 'inside' end)::surface,
    outcome::outcome,
    case
        when outcome = 'off target' and draw // 1000000 % 10 > 0
            then ['left', 'right', 'left', 'right', 'over'][(draw // 10000000 % 5)::bigint + 1]
    end::miss,
    stages.distance_m + 0.9144 * (set_draw // 8 % 3 - 1.0),
    stages.width_m,
    make_timestamptz(struck_at_ms * 1000),
    ((set_number::uhugeint << 64) + set_draw)::uuid,
    'tap'
from struck
inner join stages using (position);
