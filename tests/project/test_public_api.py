"""What others may rely on changes only on purpose."""

from __future__ import annotations

from tests.project.public_api import LIST, public_names


def test_the_public_names_are_the_ones_listed() -> None:
    listed, found = LIST.read_text(encoding="utf-8").splitlines(), public_names()
    gone = [f"- {one}" for one in listed if one not in found]
    new = [f"+ {one}" for one in found if one not in listed]
    assert gone + new == [], "meant? Then list them anew: python -m tests.project.public_api"
    assert listed == found


def test_the_version_the_records_the_questions_and_the_command_are_public() -> None:
    starts = {name.split("(")[0] for name in public_names()}
    assert {
        "tracker.__version__",
        "tracker.store.database.Database.open",
        "tracker.review.readiness.readiness",
        "tracker.stats.proportion.proportion",
        "tracker.cli.main.main",
    } <= starts
