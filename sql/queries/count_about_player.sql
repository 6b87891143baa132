-- How much is kept about a player? One row.
select
    (select count(*) from strike where player_id = $player_id) as strikes,
    (select count(distinct practice_id) from strike where player_id = $player_id) as practices,
    (select count(*) from placement where player_id = $player_id) as placements,
    (select count(*) from coach_words where player_id = $player_id and words != '') as words;
