-- Puts nobody in the place of one player in every plan kept; reading a plan leaves nobody out.
update practice_plan
set document = replace(document, $player_id, '00000000-0000-0000-0000-000000000000')
where contains(document, $player_id);
