-- Which passes are there? One row per pass of a squad's practices, the latest first.
select
    pad_token.token_id,
    pad_token.practice_id,
    practice.held_on,
    practice.label,
    pad_token.logger,
    pad_token.created_at,
    pad_token.expires_at,
    pad_token.revoked_at
from pad_token
inner join practice using (practice_id)
where practice.squad_id = $squad_id
order by pad_token.created_at desc, pad_token.token_id;
