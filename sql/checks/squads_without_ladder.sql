-- Squads whose ladder is not loaded. Must return no rows.
select squad_id from squad where ladder_name not in (select name from ladder);
