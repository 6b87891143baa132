-- What is the database made of? One row per column, and one per migration: kind, name, detail.
select 'column' as kind, concat(table_name, '.', column_name) as name, data_type as detail
from duckdb_columns()
where not internal and database_name = current_database()
union all
select 'migration' as kind, name, checksum as detail
from schema_migration;
