-- The whole first schema. Closed word lists are ENUMs, alike with tracker/domain/vocabulary.py (a test compares them).
-- No foreign keys: in this DuckDB a referenced row can no longer be renamed freely. tracker/store checks instead, and
-- sql/checks/ finds orphans.

create type foot as enum ('left', 'right');
create type preferred_foot as enum ('left', 'right', 'both', 'unknown');
create type surface as enum ('laces', 'inside', 'outside', 'toe', 'heel', 'other');
create type outcome as enum ('on target', 'off target', 'blocked');
create type miss as enum ('left', 'right', 'over', 'short');
create type source as enum ('tap', 'call-out', 'paper', 'file');
create type pitch_surface as enum ('grass', 'artificial', 'indoor', 'other');
create type readiness_status as enum ('gathering', 'working', 'ready', 'revisit');

create table setting (
    name varchar primary key,
    value varchar not null
);
comment on table setting is 'one row per setting of this installation';
comment on column setting.name is 'setting, such as length_unit';
comment on column setting.value is 'value as text';

create table ladder (
    name varchar primary key,
    content varchar not null,
    loaded_at timestamptz not null
);
comment on table ladder is 'one row per ladder in use';
comment on column ladder.name is 'name of the ladder, as its file says';
comment on column ladder.content is 'the ladder file, TOML';
comment on column ladder.loaded_at is 'when this content was loaded, UTC';

create table squad (
    squad_id uuid primary key,
    name varchar not null unique,
    ladder_name varchar not null
);
comment on table squad is 'one row per squad';
comment on column squad.squad_id is 'public id';
comment on column squad.name is 'name of the squad';
comment on column squad.ladder_name is 'ladder the squad works on: ladder.name';

create table season (
    season_id uuid primary key,
    name varchar not null unique,
    starts_on date not null,
    ends_on date not null check (ends_on >= starts_on)
);
comment on table season is 'one row per season';
comment on column season.season_id is 'public id';
comment on column season.name is 'name of the season';
comment on column season.starts_on is 'first day, local date';
comment on column season.ends_on is 'last day, local date, included';

create table player (
    player_id uuid primary key,
    squad_id uuid not null,
    display_name varchar not null,
    shirt_number smallint,
    birth_year smallint,
    preferred_foot preferred_foot not null,
    active boolean not null
);
comment on table player is 'one row per player; nothing else about a child is kept';
comment on column player.player_id is 'public id';
comment on column player.squad_id is 'present squad: squad.squad_id; past practices keep theirs';
comment on column player.display_name is 'name shown; a nickname will do';
comment on column player.shirt_number is 'shirt number, or null';
comment on column player.birth_year is 'year of birth, or null';
comment on column player.preferred_foot is 'the foot the player says they prefer';
comment on column player.active is 'false for a player who left';

create table practice (
    practice_id uuid primary key,
    squad_id uuid not null,
    held_on date not null,
    week date not null,
    label varchar not null,
    place varchar,
    pitch_surface pitch_surface,
    notes varchar,
    unique (squad_id, held_on, label)
);
comment on table practice is 'one row per practice of a squad';
comment on column practice.practice_id is 'public id';
comment on column practice.squad_id is 'squad that practised: squad.squad_id';
comment on column practice.held_on is 'local date';
comment on column practice.week is 'Monday of its ISO week, local date';
comment on column practice.label is 'tells practices of one day apart; usually empty';
comment on column practice.place is 'where, or null';
comment on column practice.pitch_surface is 'what it was played on, or null';
comment on column practice.notes is 'coach''s notes, or null';

create table strike (
    strike_id uuid primary key,
    practice_id uuid not null,
    player_id uuid not null,
    stage varchar,
    foot foot not null,
    surface surface,
    outcome outcome not null,
    miss miss,
    distance_m double check (distance_m between 0.1 and 120),
    target_width_m double check (target_width_m > 0),
    struck_at timestamptz not null,
    set_id uuid,
    source source not null,
    logger varchar,
    check (miss is null or outcome = 'off target')
);
comment on table strike is 'one row per strike of the ball; never edited or deleted by use';
comment on column strike.strike_id is 'id made where the strike was logged; sending it twice stores it once';
comment on column strike.practice_id is 'practice.practice_id';
comment on column strike.player_id is 'player.player_id';
comment on column strike.stage is 'name of the drill stage as in the ladder, or as logged, or null';
comment on column strike.foot is 'foot that struck the ball';
comment on column strike.surface is 'part of the foot, or null when not said';
comment on column strike.outcome is 'on target and off target are attempts; blocked is neither';
comment on column strike.miss is 'side of an off-target strike as the striker sees it, or null when not said';
comment on column strike.distance_m is 'ball to the line of the target, metres';
comment on column strike.target_width_m is 'width of the target when it was struck at, metres, or null when not known';
comment on column strike.struck_at is 'UTC; strikes of one instant have no known order';
comment on column strike.set_id is 'the set the strike belongs to, or null';
comment on column strike.source is 'how it came in';
comment on column strike.logger is 'who logged it, or null';

create table correction (
    strike_id uuid primary key,
    corrected_at timestamptz not null,
    corrected_by varchar,
    why varchar not null
);
comment on table correction is 'one row per voided strike';
comment on column correction.strike_id is 'the strike voided: strike.strike_id';
comment on column correction.corrected_at is 'UTC';
comment on column correction.corrected_by is 'who said so, or null';
comment on column correction.why is 'reason in words';

create table placement (
    placement_id uuid primary key,
    player_id uuid not null,
    foot foot not null,
    stage varchar not null,
    placed_at timestamptz not null,
    suggested_stage varchar,
    suggested_status readiness_status,
    note varchar,
    withdrawn_at timestamptz
);
comment on table placement is 'one row per decision of a coach: this player, this foot, this stage, from then on';
comment on column placement.placement_id is 'public id';
comment on column placement.player_id is 'player.player_id';
comment on column placement.foot is 'the foot placed';
comment on column placement.stage is 'stage placed at';
comment on column placement.placed_at is 'UTC';
comment on column placement.suggested_stage is 'stage the tool suggested at that moment, or null';
comment on column placement.suggested_status is 'status the tool showed for the stage left, or null';
comment on column placement.note is 'coach''s note, or null';
comment on column placement.withdrawn_at is 'UTC when the coach took it back, else null';
