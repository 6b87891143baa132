-- When was a player last erased, or a season made anonymous? One row: noted_at, UTC, null when never.
select max(noted_at) as noted_at from audit where what in ('forget', 'retention');
