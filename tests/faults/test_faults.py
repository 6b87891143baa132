"""The short form of ``python -m tests.faults``: processes killed, files torn, disks filled; nothing is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.faults import crashes, refusals
from tests.faults.served import Outcome


def unharmed(outcome: Outcome) -> bool:
    return outcome.acknowledged > 0 and outcome.lost == outcome.doubled == 0


def test_a_killed_server_has_what_it_acknowledged_and_whole_backups(tmp_path: Path) -> None:
    of_server, of_backups = crashes.killed(tmp_path, tries=2)
    assert unharmed(of_server), of_server
    assert of_backups.lost == of_backups.doubled == 0, of_backups


def test_a_torn_write_ahead_file_opens_or_says_how_to_mend_it(tmp_path: Path) -> None:
    cut_short, garbled = crashes.torn(tmp_path, tries=4)
    assert unharmed(cut_short), cut_short
    assert unharmed(garbled), garbled
    assert garbled.note.endswith("refused with a sentence, mended by restore")


def test_without_room_in_the_file_phones_are_told_and_keep_their_strikes(tmp_path: Path) -> None:
    outcome = crashes.file_limit(tmp_path)
    assert unharmed(outcome), outcome
    assert outcome.note == "answers 503"


def test_a_checkpoint_that_finds_no_room_loses_nothing_and_needs_no_restart(tmp_path: Path) -> None:
    outcome = crashes.checkpoint_without_room(tmp_path, rooms_mb=[18])
    if outcome is None:
        pytest.skip("no small disk can be mounted here")
    assert unharmed(outcome), outcome


def test_clocks_that_jump_by_years_lose_nothing(tmp_path: Path) -> None:
    outcome = refusals.clocks(tmp_path)
    assert unharmed(outcome), outcome


def test_of_several_processes_one_writes_and_the_others_are_refused(tmp_path: Path) -> None:
    outcome = refusals.two_processes(tmp_path, tries=1)
    assert unharmed(outcome), outcome


def test_a_file_of_every_earlier_schema_comes_up_whole_and_is_kept_as_it_was(tmp_path: Path) -> None:
    outcome = refusals.older_schemas(tmp_path)
    assert unharmed(outcome), outcome
    assert outcome.tries >= 3


def test_a_file_of_a_newer_program_is_refused_untouched(tmp_path: Path) -> None:
    outcome = refusals.newer_version(tmp_path)
    assert (outcome.lost, outcome.note) == (0, "refused")


def test_a_folder_that_may_only_be_read_is_refused_with_a_sentence(tmp_path: Path) -> None:
    outcome = refusals.read_only(tmp_path)
    if outcome is None:
        pytest.skip("no disk can be mounted to be read only here")
    assert (outcome.lost, outcome.note) == (0, "refused")
