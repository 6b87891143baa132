-- How much is stored? One row.
select
    (select count(*) from squad) as squads,
    (select count(*) from season) as seasons,
    (select count(*) from player) as players,
    (select count(*) from practice) as practices,
    (select count(*) from strike) as strikes,
    (select count(*) from correction) as corrections,
    (select count(*) from placement) as placements;
