-- The coach's words with the names of player, squad and season, for a file. One row per player and season.
select
    player.display_name as player,
    coach_words.player_id,
    squad.name as squad,
    season.name as season,
    coach_words.words,
    coach_words.written_at
from coach_words
inner join player using (player_id)
inner join squad using (squad_id)
inner join season using (season_id)
where coach_words.words != ''
order by season.name, squad.name, player.display_name, coach_words.player_id;
