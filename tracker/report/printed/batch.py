"""Reports of many players in one go: pictures and pages are made by two threads, written one by one as they come."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextvars import copy_context
from dataclasses import dataclass
from pathlib import Path

from tracker.domain.vocabulary import LengthUnit, Paper
from tracker.report.language import _
from tracker.report.printed.engine import Data, Template, pdf
from tracker.report.printed.files import check_is_ours, safe_stem, unlike_stems, write_page
from tracker.report.printed.player_page import player_page
from tracker.report.printed.squad_page import squad_mark, squad_page
from tracker.report.printed.web_page import web_page
from tracker.review.season_report import SeasonReport
from tracker.review.squad_report import SquadReport

THREADS = 2


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """How reports are made: distances in which unit, on what paper, and whether as web pages too."""

    unit: LengthUnit
    paper: Paper = Paper.A4
    with_web: bool = False


def report_files(report: SeasonReport, *, look: Look) -> dict[str, bytes]:
    """A player's report by the ending of its file: ``.pdf`` and, where wanted, ``.html``."""
    data: Data = player_page(report, unit=look.unit, paper=look.paper)
    files = {".pdf": pdf(Template.PLAYER, data)}
    if look.with_web:
        files[".html"] = web_page(data).encode()
    return files


def every_report(reports: Sequence[SeasonReport], *, look: Look) -> Iterator[tuple[str, dict[str, bytes]]]:
    """The stem of a file name and the files of each report, in order, as they are ready; in the language spoken now."""
    stems = unlike_stems(report.player.display_name for report in reports)
    with ThreadPoolExecutor(THREADS) as pool:
        made: list[Future[dict[str, bytes]]] = [
            pool.submit(copy_context().run, report_files, report, look=look) for report in reports
        ]
        try:
            for stem, future in zip(stems, made, strict=True):
                yield stem, future.result()
        finally:
            for future in made:
                future.cancel()


def write_reports(
    reports: Sequence[SeasonReport], folder: Path, *, look: Look, written: Callable[[Path], None] = lambda path: None
) -> list[Path]:
    """Writes each report into a folder and returns the files; ``written`` hears of each as it stands.

    Nothing is written when any of the names is taken by a file of somebody else's. Raises FileError.
    """
    endings = (".pdf", ".html") if look.with_web else (".pdf",)
    stems = unlike_stems(report.player.display_name for report in reports)
    marks = dict(zip(stems, (f"player-report:{report.player.player_id}" for report in reports), strict=True))
    for stem, mark in marks.items():
        for ending in endings:
            check_is_ours(folder / f"{stem}{ending}", mark=mark)
    paths = []
    for stem, files in every_report(reports, look=look):
        for ending, content in files.items():
            paths.append(write_page(folder / f"{stem}{ending}", content, mark=marks[stem]))
            written(paths[-1])
    return paths


def squad_file(report: SquadReport, *, look: Look) -> tuple[str, bytes]:
    """The squad's report for the coach: its file name and the PDF."""
    stem = safe_stem(_("Squad report {squad}").format(squad=report.squad.name))
    return f"{stem}.pdf", pdf(Template.SQUAD, squad_page(report, unit=look.unit, paper=look.paper))


def write_squad_report(report: SquadReport, folder: Path, *, look: Look) -> Path:
    """Writes it into a folder and returns the file. Raises FileError."""
    name, content = squad_file(report, look=look)
    return write_page(folder / name, content, mark=squad_mark(report))
