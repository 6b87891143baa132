-- What does a club tell a federation? One row per squad × season × week × player × foot × stage × strikes in a practice:
-- practices, and over them attempts, on_target, sum_nn = Σ attempts² and sum_yy = Σ on_target². No names, no dates but
-- the week's Monday. A season is called by its years; a day outside every season counts to its August to July.
with practice_cell as (
    select
        squad_id,
        held_on,
        week,
        player_id,
        foot,
        stage,
        cast(sum(attempts) as bigint) as attempts,
        cast(sum(on_target) as bigint) as on_target
    from tally
    group by practice_id, squad_id, held_on, week, player_id, foot, stage
    having sum(attempts) > 0
),

season_of_day as (
    select
        held_on,
        coalesce(
            (
                select max(
                    cast(year(starts_on) as varchar)
                    || case when year(ends_on) > year(starts_on) then '-' || right(cast(year(ends_on) as varchar), 2) else '' end
                )
                from season
                where days.held_on between starts_on and ends_on
            ),
            cast(start_year as varchar) || '-' || right(cast(start_year + 1 as varchar), 2)
        ) as season
    from (
        select distinct held_on, year(held_on) - case when month(held_on) < 8 then 1 else 0 end as start_year
        from practice_cell
    ) as days
)

select
    practice_cell.squad_id,
    season_of_day.season,
    practice_cell.week,
    practice_cell.player_id,
    practice_cell.foot,
    practice_cell.stage,
    practice_cell.attempts as practice_attempts,
    count(*) as practices,
    cast(sum(practice_cell.attempts) as bigint) as attempts,
    cast(sum(practice_cell.on_target) as bigint) as on_target,
    cast(sum(practice_cell.attempts * practice_cell.attempts) as bigint) as sum_nn,
    cast(sum(practice_cell.on_target * practice_cell.on_target) as bigint) as sum_yy
from practice_cell
inner join season_of_day using (held_on)
group by all
order by all;
