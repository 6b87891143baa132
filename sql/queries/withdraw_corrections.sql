-- Takes back the corrections of these strikes, so that they count again.
delete from correction where strike_id in (select unnest($strike_ids::uuid[]));
