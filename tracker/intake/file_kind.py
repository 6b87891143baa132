"""What a table holds, told by its columns."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from tracker.intake.strike_columns import NO_MAP
from tracker.intake.strike_file import REQUIRED_OF_STRIKES, STRIKE_FIELDS
from tracker.intake.table_file import RawTable, require_columns, with_fields
from tracker.intake.tally_file import REQUIRED_OF_TALLIES, TALLY_FIELDS


class FileKind(StrEnum):
    """What one row of a table stands for."""

    STRIKES = "strikes"
    TALLIES = "tallies"


def recognise(table: RawTable, *, column_map: Mapping[str, str] = NO_MAP) -> FileKind:
    """Whether the table holds strikes or tallies: a column ``attempts`` and no ``outcome`` makes it tallies.

    Raises FileError naming the required columns that are missing, RequestError when ``column_map`` does not fit.
    """
    table = with_fields(table, column_map=column_map, fields=dict.fromkeys((*STRIKE_FIELDS, *TALLY_FIELDS)))
    columns = table.frame.columns
    if "attempts" in columns and "outcome" not in columns:
        require_columns(table, REQUIRED_OF_TALLIES)
        return FileKind.TALLIES
    require_columns(table, REQUIRED_OF_STRIKES)
    return FileKind.STRIKES
