-- Every setting, for a file. One row per setting.
select name as setting, value from setting order by name;
