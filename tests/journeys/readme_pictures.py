"""Takes the README's pictures anew, from the demo season: ``python tests/journeys/readme_pictures.py``.

Four pages as a laptop shows them, and the first page of a player's report, into ``dashboards/pictures/``.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright
from screenshots import CHROMIUM_FLAGS, chromium_path, settle
from serving import running, strikeladder

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "dashboards" / "pictures"
PAGES = ("squad", "player", "ladder", "plan")
LAPTOP = {"width": 1280, "height": 800}
REPORT_OF = "Zoë L."
COLOURS = 128
"""Flat colours: so many are enough, and the files stay small."""


def main() -> None:
    """Writes the five pictures."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        kept = Path(scratch)
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        with running("demo", "--keep", str(kept)) as address:
            page = browser.new_page(viewport=LAPTOP)
            for name in PAGES:
                page.goto(f"{address}/{name}")
                settle(page)
                page.screenshot(path=kept / f"{name}.png")
        browser.close()
        database = next(kept.glob("*.duckdb"))
        strikeladder("report", "--player", REPORT_OF, "--out", str(kept / "reports"), "--db", str(database))
        (report,) = (kept / "reports").glob("*.pdf")
        subprocess.run(
            ["pdftoppm", "-png", "-r", "80", "-f", "1", "-l", "1", "-singlefile", str(report), str(kept / "report")],
            check=True,
        )
        for name in (*PAGES, "report"):
            picture = Image.open(kept / f"{name}.png").convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
            picture.save(PICTURES / f"{name}.png", optimize=True)


if __name__ == "__main__":
    sys.exit(main())
