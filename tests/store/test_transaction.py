"""Writing is all or nothing, sending twice stores once, and threads do not see each other's halves."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from pathlib import Path

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain.identity import uuid7
from tracker.domain.squad import Squad
from tracker.domain.strike import Correction, Strike
from tracker.domain.vocabulary import Foot, Outcome, Source
from tracker.errors import DatabaseError
from tracker.store.database import Database
from tracker.store.squads import save_squads
from tracker.store.strikes import (
    Appended,
    append_strikes,
    frame_of_strikes,
    strikes_by_id,
    void_strikes,
)

DAY = date(2026, 3, 7)


def stored(database: Database) -> int:
    return int(database.query("counts")["strikes"][0])


def test_a_block_that_raises_stores_nothing(database: Database, squad: SquadBuilder) -> None:
    before = database.changes
    made = squad.strikes("Ana", Foot.LEFT, "+", day=DAY)
    again = frame_of_strikes(made).with_columns(strike_id=pl.lit(str(uuid7())))

    def store_and_lose_power() -> None:
        with database.transaction() as transaction:
            append_strikes(transaction, again)
            raise RuntimeError("lost power")

    with pytest.raises(RuntimeError, match="lost power"):
        store_and_lose_power()
    assert stored(database) == 1
    assert database.changes == before + 2  # the practice and its one strike


def test_a_value_the_schema_forbids_takes_the_whole_batch_with_it(database: Database, squad: SquadBuilder) -> None:
    right = frame_of_strikes(squad.strikes("Ana", Foot.LEFT, "+", day=DAY))
    two = pl.concat([right, right]).with_columns(
        strike_id=pl.Series([str(uuid7()), str(uuid7())]), distance_m=pl.Series([10.0, 500.0])
    )
    with (
        pytest.raises(DatabaseError, match=r"Nothing was stored.*CHECK constraint"),
        database.transaction() as transaction,
    ):
        append_strikes(transaction, two)
    assert stored(database) == 1


def test_sending_a_strike_again_stores_it_once(database: Database, squad: SquadBuilder) -> None:
    made = frame_of_strikes(squad.strikes("Ana", Foot.LEFT, "+-+", day=DAY))
    new = made.with_columns(strike_id=pl.Series([made["strike_id"][0], str(uuid7()), made["strike_id"][2]]))
    with database.transaction() as transaction:
        assert append_strikes(transaction, new) == Appended(stored=1, already_there=2)
    with database.transaction() as transaction:
        assert append_strikes(transaction, new) == Appended(stored=0, already_there=3)
    assert stored(database) == 4


def test_the_first_of_two_strikes_with_one_id_stands(database: Database, squad: SquadBuilder) -> None:
    made = frame_of_strikes(squad.strikes("Ana", Foot.LEFT, "+", day=DAY))
    with database.transaction() as transaction:
        append_strikes(transaction, made.with_columns(outcome=pl.lit("off target")))
    assert database.query("export_strikes", with_voided=True, squad_id=None, first_day=None, last_day=None)[
        "outcome"
    ].to_list() == ["on target"]


def test_an_empty_batch_is_stored_as_nothing(database: Database) -> None:
    with database.transaction() as transaction:
        assert append_strikes(transaction, frame_of_strikes([])) == Appended(stored=0, already_there=0)


def test_a_correction_voids_a_strike_once(database: Database, squad: SquadBuilder) -> None:
    first, _ = squad.strikes("Ana", Foot.LEFT, "+-", day=DAY)
    correction = Correction(strike_id=first.strike_id, corrected_at=datetime.now(UTC), corrected_by="Tess", why="typo")
    with database.transaction() as transaction:
        assert void_strikes(transaction, [correction]) == 1
    with database.transaction() as transaction:
        assert void_strikes(transaction, [correction]) == 0
    assert strikes_by_id(database, [first.strike_id])["is_void"].to_list() == [True]


def test_a_transaction_sees_what_it_wrote_and_others_do_not_until_it_ends(database: Database) -> None:
    with database.transaction() as transaction:
        save_squads(transaction, [Squad(squad_id=uuid7(), name="Reds", ladder_name="U11–U12")])
        assert transaction.query("list_squads").height == 1
        assert database.query("list_squads").height == 0
    assert database.query("list_squads").height == 1


def test_changes_count_only_what_was_stored(database: Database) -> None:
    with database.transaction() as transaction:
        transaction.run("save_setting", name="length_unit", value="m")

    def write_and_fail() -> None:
        with database.transaction() as transaction:
            transaction.run("save_setting", name="length_unit", value="yd")
            raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        write_and_fail()
    assert database.changes == 1


def _strikes_for(squad: SquadBuilder, number: int) -> list[pl.DataFrame]:
    """Batches of four strikes each, ready to be stored."""
    practice, player = squad.practice(DAY), squad.player("Ana")
    return [
        frame_of_strikes(
            Strike(
                strike_id=uuid7(),
                practice_id=practice.practice_id,
                player_id=player.player_id,
                stage=None,
                foot=Foot.LEFT,
                surface=None,
                outcome=Outcome.ON_TARGET,
                miss=None,
                distance_m=None,
                target_width_m=None,
                struck_at=datetime.now(UTC),
                set_id=None,
                source=Source.TAP,
                logger=None,
            )
            for _ in range(4)
        )
        for _ in range(number)
    ]


def test_eight_writers_and_four_readers_lose_nothing_and_see_whole_batches(tmp_path: Path) -> None:
    with Database.open(tmp_path / "strikes.duckdb", create=True) as database:
        squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right")
        batches = _strikes_for(squad, 80)
        is_over = threading.Event()

        def write(batch: pl.DataFrame) -> Appended:
            with database.transaction() as transaction:
                return append_strikes(transaction, batch)

        def read() -> list[int]:
            counts = [stored(database)]
            while not is_over.is_set():
                counts.append(stored(database))
            return counts

        with ThreadPoolExecutor(12) as pool:
            readers = [pool.submit(read) for _ in range(4)]
            appended = list(pool.map(write, batches))
            is_over.set()
            seen = [reader.result() for reader in readers]
        assert appended == [Appended(stored=4, already_there=0)] * 80
        assert stored(database) == 320
    for counts in seen:
        assert counts == sorted(counts)
        assert all(count % 4 == 0 for count in counts)


def test_ids_made_in_order_are_stored_in_order(database: Database, squad: SquadBuilder) -> None:
    made = [squad.strikes("Ana", Foot.LEFT, "+", day=DAY)[0].strike_id for _ in range(4)]
    by_id = database._connection.execute("select strike_id from strike order by strike_id").fetchall()
    milliseconds = [strike_id.int >> 80 for strike_id in made]
    assert milliseconds == sorted(set(milliseconds))
    assert [strike_id for (strike_id,) in by_id] == made
