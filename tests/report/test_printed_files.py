"""Files are whole or not there, and nobody else's file is written over."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.errors import FileError
from tracker.report.printed.files import safe_stem, unlike_stems, write_page


@given(st.text(max_size=200))
def test_any_name_gives_a_file_name_that_stays_in_its_folder(name: str) -> None:
    stem = safe_stem(name)
    assert stem
    assert not set(stem) & set('<>:"/\\|?*\0\n')
    assert not stem.startswith((".", "-"))
    assert Path("folder", f"{stem}.pdf").parent == Path("folder")
    assert len(stem.encode()) <= 121


@given(st.lists(st.text(max_size=4), max_size=8))
def test_names_give_unlike_files(names: list[str]) -> None:
    stems = [stem.casefold() for stem in unlike_stems(names)]
    assert len(set(stems)) == len(stems)


def test_run_again_it_overwrites_its_own(tmp_path: Path) -> None:
    path = tmp_path / "Ana.pdf"
    write_page(path, b"strike-ladder, player-report:1 old", mark="player-report:1")
    write_page(path, b"strike-ladder, player-report:1 new", mark="player-report:1")
    assert path.read_bytes().endswith(b"new")


@pytest.mark.parametrize("there", [b"my own notes", b"strike-ladder, player-report:2"])
def test_a_file_of_somebody_else_is_left_alone(tmp_path: Path, there: bytes) -> None:
    path = tmp_path / "Ana.pdf"
    path.write_bytes(there)
    with pytest.raises(FileError, match="left alone"):
        write_page(path, b"strike-ladder, player-report:1", mark="player-report:1")
    assert path.read_bytes() == there


def test_interrupted_it_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(source: Path, target: Path) -> None:
        raise KeyboardInterrupt

    path = tmp_path / "Ana.pdf"
    write_page(path, b"strike-ladder, player-report:1 old", mark="player-report:1")
    monkeypatch.setattr(Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_page(path, b"strike-ladder, player-report:1 new", mark="player-report:1")
    assert path.read_bytes().endswith(b"old")
    assert list(tmp_path.iterdir()) == [path]
