-- What did coaches write for season reports? One row per player and season.
select player_id, season_id, written_at, words from coach_words where words != '' order by written_at, player_id, season_id;
