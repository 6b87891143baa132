-- Players and practices of squads that are not there. Must return no rows.
select cast(player_id as varchar) as id from player where squad_id not in (select squad_id from squad)
union all
select cast(practice_id as varchar) as id from practice where squad_id not in (select squad_id from squad);
