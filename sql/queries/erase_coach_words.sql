-- Erases the coach's words about a player; $last_day null: of every season, else of seasons that ended by then.
delete from coach_words
where player_id = $player_id
    and ($last_day::date is null or season_id in (select season_id from season where ends_on <= $last_day::date));
