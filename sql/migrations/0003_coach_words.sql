-- What a coach writes by hand for a player's season report.

create table coach_words (
    player_id uuid not null,
    season_id uuid not null,
    words varchar not null,
    written_at timestamptz not null,
    primary key (player_id, season_id)
);
comment on table coach_words is 'one row per player and season the coach wrote something for';
comment on column coach_words.player_id is 'player.player_id';
comment on column coach_words.season_id is 'season.season_id';
comment on column coach_words.words is 'the coach''s own words, as typed; empty when taken back';
comment on column coach_words.written_at is 'when they were last written, UTC';
