-- What has been applied to this database, kept by tracker/store/migrations.py.
create table schema_migration (
    version integer primary key,
    name varchar not null,
    checksum varchar not null,
    program_version varchar not null,
    applied_at timestamptz not null
);
comment on table schema_migration is 'one row per migration applied';
comment on column schema_migration.version is 'number the file name starts with';
comment on column schema_migration.name is 'file name';
comment on column schema_migration.checksum is 'SHA-256 of the file when it was applied, hexadecimal';
comment on column schema_migration.program_version is 'version of Strike Ladder that applied it';
comment on column schema_migration.applied_at is 'UTC';
