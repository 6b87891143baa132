"""The day's backup of a server that runs on, and a full disk told to a phone."""

from __future__ import annotations

import logging
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest
from builders import SquadBuilder
from phone import Phone

from tracker.errors import DatabaseError
from tracker.review.backups import backups
from tracker.serve.backup_route import ask_for_backup, back_up_every_day
from tracker.serve.process import held_writer
from tracker.store.database import Database


def test_a_server_makes_the_backup_of_the_day_when_it_starts(tmp_path: Path) -> None:
    stop = threading.Event()
    with Database.open(tmp_path / "strikes.duckdb", create=True) as database:
        SquadBuilder.start(database, "Quillhaven U12", Ana="right")
        running = threading.Thread(target=back_up_every_day, args=(database, stop))
        running.start()
        while not backups(database):
            running.join(0.01)
        stop.set()
        running.join()
        (made,) = backups(database)
        assert made.made_at.date() == datetime.now(UTC).date()


def test_a_backup_that_cannot_be_made_is_logged_and_stops_nothing(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "backups").write_text("a file where the folder should be", encoding="utf-8")
    stop = threading.Event()
    with Database.open(tmp_path / "strikes.duckdb", create=True) as database, caplog.at_level(logging.WARNING):
        SquadBuilder.start(database, "Quillhaven U12", Ana="right")
        running = threading.Thread(target=back_up_every_day, args=(database, stop))
        running.start()
        while not caplog.records:
            running.join(0.01)
        assert running.is_alive()
        stop.set()
        running.join()
    assert "the day's backup could not be made" in caplog.text


def test_where_nobody_serves_there_is_nobody_to_ask(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        ask_for_backup(tmp_path / "strikes.duckdb", tmp_path / "copy.duckdb")


def test_a_phone_hears_of_a_full_disk_with_a_status_that_asks_it_to_try_again(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise DatabaseError("Nothing was stored: the disk is full.")

    monkeypatch.setattr(held_writer(), "deliver_strikes", refused)
    answer = phone.post("/api/strikes", {"strikes": [phone.strike()]})
    assert (answer.status_code, answer.json()) == (503, {"error": "Nothing was stored: the disk is full."})
