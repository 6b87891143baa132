"""The sums over a lake: one job a part, by the statements of ``sql/lake/``, then added up by the same statements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

import polars as pl

from tracker.lake.runner import Runner
from tracker.store.lake import answer_of_files, fingerprint, merged, write_rows

MOST_JOBS = 20_000
"""A scheduler hands out some hundreds of jobs a second: beyond this many, a job takes several parts."""


class LakeStatement(StrEnum):
    """The statements of ``sql/lake/``."""

    BY_PLAYER = "sums_by_player"
    BY_PRACTICE_SIZE = "sums_by_practice_size"


@dataclass(frozen=True, kw_only=True, slots=True)
class PartJob:
    """One statement over some files. With ``results`` the answer is kept in that folder, and used if it is there."""

    statement: LakeStatement
    files: tuple[Path, ...]
    results: Path | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class LakeCounts:
    """The merged rows of both statements: ``by_player`` and ``by_practice_size``."""

    by_player: pl.DataFrame
    by_practice_size: pl.DataFrame


def done(job: PartJob) -> pl.DataFrame:
    """The answer to a job. Files in, one answer out: doing it twice, or in two places at once, does no harm."""
    if job.results is None:
        return answer_of_files(job.statement, job.files)
    kept = job.results / f"{job.statement.value}-{fingerprint(job.statement, job.files)}.parquet"
    if kept.exists():
        return pl.read_parquet(kept)
    answer = answer_of_files(job.statement, job.files)
    write_rows(kept, answer)
    return answer


def lake_counts(runner: Runner, files: Sequence[Path], *, results: Path | None = None) -> LakeCounts:
    """The sums over the parts ``files`` (at least one), worked out where ``runner`` runs them. Raises FileError."""
    files_a_job = -(-2 * len(files) // MOST_JOBS)
    bundles = [tuple(files[first : first + files_a_job]) for first in range(0, len(files), files_a_job)]
    jobs = [PartJob(statement=one, files=bundle, results=results) for bundle in bundles for one in LakeStatement]
    answers = runner.map(done, jobs)
    by_player, by_size = (
        merged(one, [answer for job, answer in zip(jobs, answers, strict=True) if job.statement is one])
        for one in LakeStatement
    )
    return LakeCounts(by_player=by_player, by_practice_size=by_size)
