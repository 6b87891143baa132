-- Puts other words in place of a coach's. Takes a table `rows`, one row per player and season.
update coach_words set words = rows.words
from rows
where coach_words.player_id = cast(rows.player_id as uuid) and coach_words.season_id = cast(rows.season_id as uuid);
