"""Pages as a browser takes them: pictures to look at, one zip to keep."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Sequence

from dashboards.ui.packed import Packed
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import Language
from tracker.report.language import _, speaking
from tracker.report.printed.batch import Look, every_report, squad_file
from tracker.report.printed.engine import Template, page_images
from tracker.report.printed.files import safe_stem
from tracker.report.printed.player_page import player_page
from tracker.review.season_report import season_report, season_reports
from tracker.review.squad_report import squad_report
from tracker.store.database import Database


def preview(database: Database, player: Player, season: Season, *, look: Look, language: Language) -> list[bytes]:
    """The pages of a player's report as PNG pictures."""
    with speaking(language):
        return page_images(
            Template.PLAYER, player_page(season_report(database, player, season), unit=look.unit, paper=look.paper)
        )


def packed_reports(
    database: Database,
    squad: Squad,
    season: Season,
    players: Sequence[Player],
    *,
    look: Look,
    progress: Callable[[int, int, str], object],
) -> Packed:
    """Every report of these players in one zip, with the squad's report; ``progress`` hears how many of how many, and
    of whom."""
    reports = season_reports(database, squad, season, only=players)
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        for done, (stem, files) in enumerate(every_report(reports, look=look), start=1):
            for ending, page in files.items():
                archive.writestr(f"{stem}{ending}", page)
            progress(done, len(reports) + 1, stem)
        name, page = squad_file(squad_report(database, squad, season), look=look)
        archive.writestr(name, page)
        progress(len(reports) + 1, len(reports) + 1, name)
    stem = safe_stem(_("Season reports {squad} {season}").format(squad=squad.name, season=season.name))
    return Packed(name=f"{stem}.zip", content=content.getvalue(), players=len(reports))
