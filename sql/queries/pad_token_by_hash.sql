-- What may the holder of this token do? One row, or none.
select
    pad_token.token_id,
    pad_token.practice_id,
    practice.squad_id,
    practice.held_on,
    practice.label,
    pad_token.logger,
    pad_token.expires_at,
    pad_token.revoked_at
from pad_token
inner join practice using (practice_id)
where pad_token.token_hash = $token_hash;
