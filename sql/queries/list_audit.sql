-- What was read, taken out and erased, the latest first? One row per entry, with the name a player has now.
-- $player_id null: about everybody. At most $most rows.
select audit.noted_at, audit.who, audit.what, player.display_name as player, audit.player_id, audit.detail
from audit
left join player using (player_id)
where $player_id::uuid is null or audit.player_id = $player_id::uuid
order by audit.noted_at desc, audit.audit_id desc
limit $most;
