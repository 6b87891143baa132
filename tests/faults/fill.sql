-- Records for a database of the first schema or any later one.
insert into setting values ('length_unit', 'm');
insert into ladder values ('Steps', 'name = "Steps"', timestamptz '2025-09-01 10:00:00+00');
insert into squad values ('01990000-0000-7000-8000-000000000001', 'Quillhaven U12', 'Steps');
insert into season values ('01990000-0000-7000-8000-000000000002', '2025/26', date '2025-08-01', date '2026-06-30');
insert into player
select
    cast(concat('01990000-0000-7000-8001-', lpad(cast(i as varchar), 12, '0')) as uuid),
    '01990000-0000-7000-8000-000000000001', concat('Player ', i), i, 2014, 'right', true
from range(10) t (i);
insert into practice (practice_id, squad_id, held_on, week, label) values (
    '01990000-0000-7000-8000-000000000003', '01990000-0000-7000-8000-000000000001', date '2026-03-07',
    date '2026-03-02', ''
);
insert into strike by name
select
    cast(concat('01990000-0000-7000-8002-', lpad(cast(i as varchar), 12, '0')) as uuid) as strike_id,
    cast('01990000-0000-7000-8000-000000000003' as uuid) as practice_id,
    cast(concat('01990000-0000-7000-8001-', lpad(cast(i % 10 as varchar), 12, '0')) as uuid) as player_id,
    'Rolling ball' as stage, case when i % 2 = 0 then 'left' else 'right' end as foot,
    case when i % 3 = 0 then 'on target' else 'off target' end as outcome,
    case when i % 3 = 1 then 'over' end as miss, 11.0 as distance_m,
    timestamptz '2026-03-07 18:00:00+00' + i * interval 1 minute as struck_at, 'tap' as source
from range(500) t (i);
insert into correction
select strike_id, timestamptz '2026-03-07 20:00:00+00', null, 'typo' from strike order by strike_id limit 5;
insert into placement by name
select uuidv7() as placement_id, player_id, 'left' as foot, 'Rolling ball' as stage,
    timestamptz '2026-03-08 10:00:00+00' as placed_at
from player;
