-- What the touchline page needs: its tokens, the phone's own clock, and strikes that two people logged.

create table pad_token (
    token_id uuid primary key,
    token_hash varchar not null unique,
    practice_id uuid not null,
    logger varchar not null,
    created_at timestamptz not null,
    expires_at timestamptz not null,
    revoked_at timestamptz
);
comment on table pad_token is 'one row per pass to log one practice on the touchline page';
comment on column pad_token.token_id is 'public id of the pass';
comment on column pad_token.token_hash is 'SHA-256 of the token, hexadecimal; the token itself is not kept';
comment on column pad_token.practice_id is 'the only practice it may log: practice.practice_id';
comment on column pad_token.logger is 'who logs with it';
comment on column pad_token.created_at is 'UTC';
comment on column pad_token.expires_at is 'UTC; strikes struck before it may be delivered for seven days more';
comment on column pad_token.revoked_at is 'UTC when the coach revoked it, else null';

alter table strike add column struck_at_phone timestamptz;
comment on column strike.struck_at_phone is 'the moment as the phone''s own clock said it, UTC, or null; struck_at is corrected';

create table second_look (
    strike_id uuid primary key
);
comment on table second_look is 'one row per strike that another logger logged too; kept for the agreement check, not counted';
comment on column second_look.strike_id is 'strike.strike_id';
