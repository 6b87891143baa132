-- Sets one setting.
insert into setting (name, value) values ($name, $value)
on conflict (name) do update set value = excluded.value;
