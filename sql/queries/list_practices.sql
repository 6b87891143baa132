-- When did a squad practise? One row per practice, the latest first, with the strikes it holds. $squad_id null: all.
select
    practice.practice_id,
    practice.squad_id,
    squad.name as squad,
    practice.held_on,
    practice.label,
    practice.place,
    practice.pitch_surface,
    practice.notes,
    cast(count(valid_strike.strike_id) as bigint) as strikes,
    cast(count(distinct valid_strike.player_id) as bigint) as players
from practice
inner join squad using (squad_id)
left join valid_strike using (practice_id)
where $squad_id::uuid is null or practice.squad_id = $squad_id::uuid
group by
    practice.practice_id, practice.squad_id, squad.name, practice.held_on, practice.label, practice.place,
    practice.pitch_surface, practice.notes
order by practice.held_on desc, practice.label;
