-- Takes a setting back.
delete from setting where name = $name;
