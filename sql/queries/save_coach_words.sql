-- Keeps what the coach wrote for one player and season, in place of what was there.
insert into coach_words (player_id, season_id, words, written_at)
values ($player_id, $season_id, $words, $written_at)
on conflict (player_id, season_id) do update set words = excluded.words, written_at = excluded.written_at;
