-- Every squad, for a file. One row per squad.
select squad_id, name as squad, ladder_name as ladder from squad order by name;
