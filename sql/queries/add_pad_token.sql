-- Gives out one pass to log a practice.
insert into pad_token (token_id, token_hash, practice_id, logger, created_at, expires_at)
values ($token_id, $token_hash, $practice_id, $logger, $created_at, $expires_at);
