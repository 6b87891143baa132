-- Strikes struck later than a day from now. Must return no rows.
select strike_id from strike where struck_at > now() + interval 1 day;
