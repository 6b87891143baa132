-- Voids the strikes of `rows`; one voided already keeps its first correction.
insert into correction (strike_id, corrected_at, corrected_by, why)
select strike_id::uuid, corrected_at, corrected_by, why from rows
on conflict (strike_id) do nothing;
