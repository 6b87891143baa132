-- Takes the marks of second looks off the strikes of these players in these practices, to work them out afresh.
delete from second_look
where strike_id in (
    select strike_id
    from strike
    where practice_id in (select unnest($practice_ids::uuid[])) and player_id in (select unnest($player_ids::uuid[]))
);
