-- Revokes one pass.
update pad_token set revoked_at = $revoked_at where token_id = $token_id and revoked_at is null;
