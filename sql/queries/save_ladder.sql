-- Puts a ladder in use, or replaces the one of the same name.
insert into ladder (name, content, loaded_at) values ($name, $content, $loaded_at)
on conflict (name) do update set content = excluded.content, loaded_at = excluded.loaded_at;
