-- Every setting, for a file, but not the passcode's hash. One row per setting.
select name as setting, value from setting where name != 'passcode_hash' order by name;
