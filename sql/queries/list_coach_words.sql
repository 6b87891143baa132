-- What did the coach write for each player in a season? One row per player with words.
select player_id, words, written_at
from coach_words
where season_id = $season_id and words != ''
order by player_id;
