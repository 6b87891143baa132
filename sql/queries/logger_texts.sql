-- Who has logged, or has a pass to? One row per name.
select distinct logger from (select logger from strike union all select logger from pad_token) where logger is not null;
