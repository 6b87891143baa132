-- A plan kept for a practice, what it asks of each foot, whom it has watched when, and the weeks a coach planned ahead.

create table practice_plan (
    practice_id uuid primary key,
    minutes smallint not null check (minutes > 0),
    made_at timestamptz not null,
    document varchar not null
);
comment on table practice_plan is 'one row per practice that has a plan; keeping another plan takes its place';
comment on column practice_plan.practice_id is 'practice.practice_id';
comment on column practice_plan.minutes is 'length of the practice, minutes';
comment on column practice_plan.made_at is 'when the plan was kept, UTC';
comment on column practice_plan.document is 'the whole plan as JSON with its version; players stand in it as player.player_id, never by name';

create table planned_strikes (
    practice_id uuid not null,
    player_id uuid not null,
    foot foot not null,
    stage varchar not null,
    strikes integer not null check (strikes >= 0),
    watched integer not null check (watched between 0 and strikes),
    primary key (practice_id, player_id, foot, stage)
);
comment on table planned_strikes is 'one row per player, foot and stage of a practice''s plan';
comment on column planned_strikes.practice_id is 'practice_plan.practice_id';
comment on column planned_strikes.player_id is 'player.player_id';
comment on column planned_strikes.foot is 'foot planned';
comment on column planned_strikes.stage is 'name of the stage, as in the ladder';
comment on column planned_strikes.strikes is 'strikes planned';
comment on column planned_strikes.watched is 'strikes of them in a lane that a logger watches then';

create table planned_turn (
    practice_id uuid not null,
    position smallint not null,
    starts_at smallint not null check (starts_at >= 0),
    minutes smallint not null check (minutes > 0),
    logger smallint not null check (logger > 0),
    player_id uuid not null,
    foot foot not null,
    stage varchar not null,
    primary key (practice_id, position, player_id, foot)
);
comment on table planned_turn is 'one row per focal turn of a practice''s plan, player in its lane and foot that works there';
comment on column planned_turn.practice_id is 'practice_plan.practice_id';
comment on column planned_turn.position is 'place of the turn in the practice, from 1';
comment on column planned_turn.starts_at is 'minutes from the start of the practice';
comment on column planned_turn.minutes is 'length of the turn, minutes';
comment on column planned_turn.logger is 'which logger watches, from 1';
comment on column planned_turn.player_id is 'player.player_id';
comment on column planned_turn.foot is 'foot that works';
comment on column planned_turn.stage is 'stage worked at, as in the ladder';

create table season_block (
    squad_id uuid primary key,
    starts_on date not null,
    weeks smallint not null check (weeks > 0),
    practices_a_week smallint not null check (practices_a_week > 0),
    other_foot_weeks smallint not null check (other_foot_weeks >= 0)
);
comment on table season_block is 'one row per squad whose coach chose a block of weeks to plan ahead';
comment on column season_block.squad_id is 'squad.squad_id';
comment on column season_block.starts_on is 'Monday of the first week, local date';
comment on column season_block.weeks is 'length of the block, weeks';
comment on column season_block.practices_a_week is 'practices a week';
comment on column season_block.other_foot_weeks is 'weeks from the start in which the other foot has at least half of the strikes, weeks';
