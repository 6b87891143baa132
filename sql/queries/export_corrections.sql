-- Every correction, for a file. One row per voided strike.
select strike_id, corrected_at, corrected_by, why from correction order by corrected_at, strike_id;
