-- Who read, took out or erased what about a child, and which players stand for somebody who is no longer named.

create type audit_event as enum (
    'report read', 'report written', 'export', 'hand-over', 'take-over', 'forget', 'retention', 'backup', 'restore',
    'sign-in'
);

create table audit (
    audit_id uuid primary key,
    noted_at timestamptz not null,
    who varchar not null,
    what audit_event not null,
    player_id uuid,
    detail varchar not null
);
comment on table audit is 'one row per reading of a report, export, hand-over, erasure and the like; never changed by use';
comment on column audit.audit_id is 'public id';
comment on column audit.noted_at is 'UTC';
comment on column audit.who is 'login of the coach, or user of this computer';
comment on column audit.what is 'what was done';
comment on column audit.player_id is 'about whom: player.player_id; null for a squad, and once the player is forgotten';
comment on column audit.detail is 'what exactly, in figures and without names of children; may be empty';

create table anonymous_player (
    player_id uuid primary key
);
comment on table anonymous_player is 'one row per player who stands for the numbers of somebody no longer named';
comment on column anonymous_player.player_id is 'player.player_id';
