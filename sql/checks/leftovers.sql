-- Second looks, words and passes whose strike, player, season or practice is not there. Must return no rows.
select cast(strike_id as varchar) as id from second_look where strike_id not in (select strike_id from strike)
union all
select cast(player_id as varchar) as id
from coach_words
where player_id not in (select player_id from player) or season_id not in (select season_id from season)
union all
select cast(token_id as varchar) as id from pad_token where practice_id not in (select practice_id from practice);
