"""One thread writes what the phones bring: many deliveries share one commit, and each is answered only after it."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field
from uuid import UUID

from tracker.domain.strike import Correction, Strike
from tracker.review.pad import Delivery, store_corrections, store_strikes
from tracker.store.database import Database, Transaction

MOST_STRIKES_A_COMMIT = 512

Answer = tuple[Delivery, list[str]]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Job:
    """A delivery that waits: strikes, or corrections of one practice."""

    strikes: list[Strike] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    practice_id: UUID
    answer: Future[Answer]


class GroupWriter:
    """Takes deliveries from any thread. ``close()`` stores what waits, then ends."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._waiting: queue.SimpleQueue[_Job | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._run, name="group-writer", daemon=True)
        self._thread.start()

    def deliver_strikes(self, strikes: list[Strike], *, practice_id: UUID) -> Future[Answer]:
        """Queues strikes; the future has an answer once they are on disk."""
        return self._queued(lambda answer: _Job(strikes=strikes, practice_id=practice_id, answer=answer))

    def deliver_corrections(self, corrections: list[Correction], *, practice_id: UUID) -> Future[Answer]:
        """Queues corrections; the answer also names the ids that are not there."""
        return self._queued(lambda answer: _Job(corrections=corrections, practice_id=practice_id, answer=answer))

    @property
    def waiting(self) -> int:
        """How many deliveries wait for their commit at this moment, about."""
        return self._waiting.qsize()

    def close(self) -> None:
        """Stores what still waits and ends the thread."""
        self._waiting.put(None)
        self._thread.join()

    def _queued(self, job: Callable[[Future[Answer]], _Job]) -> Future[Answer]:
        answer: Future[Answer] = Future()
        self._waiting.put(job(answer))
        return answer

    def _run(self) -> None:
        while (first := self._waiting.get()) is not None:
            jobs, ended = self._batch(first)
            self._commit(jobs)
            if ended:
                return

    def _batch(self, first: _Job) -> tuple[list[_Job], bool]:
        """The job and those that wait behind it, up to one commit's worth; and whether the end was among them."""
        jobs, strikes = [first], len(first.strikes)
        while strikes < MOST_STRIKES_A_COMMIT:
            try:
                job = self._waiting.get_nowait()
            except queue.Empty:
                break
            if job is None:
                return jobs, True
            jobs.append(job)
            strikes += len(job.strikes)
        return jobs, False

    def _commit(self, jobs: list[_Job]) -> None:
        try:
            with self._database.transaction() as transaction:
                answers = _stored(transaction, jobs)
        except Exception as error:  # noqa: BLE001 - whatever it is, the one who waits must hear of it
            if len(jobs) == 1:
                jobs[0].answer.set_exception(error)
                return
            for job in jobs:  # one bad delivery must not keep the others out
                self._commit([job])
            return
        for job, answer in zip(jobs, answers, strict=True):
            job.answer.set_result(answer)


def _stored(transaction: Transaction, jobs: list[_Job]) -> list[Answer]:
    """All strikes in one statement, then the corrections in turn; one answer a job."""
    strikes = [strike for job in jobs for strike in job.strikes]
    fresh = set(store_strikes(transaction, strikes).stored) if strikes else set()
    answers: list[Answer] = []
    for job in jobs:
        if job.corrections:
            answers.append(store_corrections(transaction, job.corrections, practice_id=job.practice_id))
            continue
        ids = list(dict.fromkeys(str(one.strike_id) for one in job.strikes))
        stored = [one for one in ids if one in fresh]
        fresh.difference_update(stored)  # a second phone that brings the same id finds it there
        answers.append((Delivery(stored=stored, already_there=[one for one in ids if one not in stored]), []))
    return answers
