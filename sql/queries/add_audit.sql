-- Notes what was done about children. Takes a table `rows`, one row per entry.
insert into audit (audit_id, noted_at, who, what, player_id, detail)
select cast(audit_id as uuid), noted_at, who, cast(what as audit_event), cast(player_id as uuid), detail
from rows;
