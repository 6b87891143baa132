"""Files that come in and go out through the browser, by way of a folder that is gone afterwards."""

from __future__ import annotations

import io
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboards.ui.import_outcome import ImportOutcome
from tracker.domain.squad import Squad
from tracker.domain.vocabulary import ExportWhat
from tracker.errors import FileError, RequestError, RowsRejected
from tracker.report import explanations
from tracker.report.language import _
from tracker.review import exchange
from tracker.review.scope import Scope
from tracker.store.database import Database


@contextmanager
def on_disk(uploaded: UploadedFile | None) -> Iterator[Path]:
    """The uploaded file under its own name in a folder of its own. Raises RequestError when there is none."""
    if uploaded is None:
        raise RequestError(_("Choose a file first."))
    with tempfile.TemporaryDirectory(prefix="strike-ladder-") as folder:
        path = Path(folder) / (Path(uploaded.name).name or "file")
        path.write_bytes(uploaded.getvalue())
        yield path


def imported(
    database: Database,
    uploaded: UploadedFile | None,
    *,
    squad: Squad,
    dry_run: bool,
    create_players: bool,
    skip_bad_rows: bool,
) -> ImportOutcome:
    """Imports an uploaded file of strikes or tallies and says what came of it. Raises RequestError without a file."""
    with on_disk(uploaded) as path:
        try:
            summary = exchange.import_file(
                database,
                path,
                squad=squad,
                dry_run=dry_run,
                create_players=create_players,
                skip_bad_rows=skip_bad_rows,
            )
        except RowsRejected as error:
            lines = explanations.rejected_lines(read=error.read, rejected=error.rejects["line"].n_unique())
            return _with_rejects(lines, error, is_done=False)
        except FileError as error:
            return ImportOutcome(lines=(str(error).replace(str(path), path.name),), is_done=False)
        return _with_rejects(explanations.import_lines(summary), summary, is_done=True)


def _with_rejects(
    lines: tuple[str, ...], found: RowsRejected | exchange.ImportSummary, *, is_done: bool
) -> ImportOutcome:
    return ImportOutcome(
        lines=lines,
        is_done=is_done,
        rejects=found.rejects if found.rejects.height else None,
        rejects_csv=found.rejects_file.read_bytes() if found.rejects_file else None,
    )


def exported(database: Database, *, what: ExportWhat, ending: str, squad: Squad) -> bytes:
    """The exported file; everything comes as one zip of its folder."""
    with tempfile.TemporaryDirectory(prefix="strike-ladder-") as folder:
        target = Path(folder) / export_name(what, ending)
        if what is not ExportWhat.ALL:
            exchange.export_file(database, target, what=what, scope=Scope(squad=squad))
            return target.read_bytes()
        everything = target.with_suffix("")
        exchange.export_file(database, everything, what=what, scope=Scope(squad=squad))
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in sorted(everything.rglob("*")):
                archive.write(path, path.relative_to(everything.parent))
        return packed.getvalue()


def export_name(what: ExportWhat, ending: str) -> str:
    """The file name an export is saved under."""
    return "strike-ladder.zip" if what is ExportWhat.ALL else f"{what.value}.{ending}"
