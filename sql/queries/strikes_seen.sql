-- Have the strikes up to row $last_row (null: the last there is) stayed as they were? One row: that row, how many strikes
-- there are up to it, and a sum over the corrections and second looks that set strikes aside.
with seen as (select coalesce($last_row::bigint, (select max(rowid) from strike), -1) as last_row)

select
    seen.last_row,
    (select count(*) from strike) - (select count(*) from strike where rowid > (select last_row from seen)) as kept,
    cast(
        (select coalesce(sum(hash(strike_id) % 1000003), 0) from correction)
        + 1000003 * (select coalesce(sum(hash(strike_id) % 1000003), 0) from second_look) as bigint
    ) as set_aside
from seen;
