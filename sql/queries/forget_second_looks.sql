-- Takes all marks of second looks off the strikes of these practices, before they are worked out afresh.
delete from second_look
where strike_id in (select strike_id from strike where practice_id in (select unnest($practice_ids::uuid[])));
