-- How is this installation set? One row per setting.
select name, value from setting order by name;
