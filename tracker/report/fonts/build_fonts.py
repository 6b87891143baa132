"""Makes the fonts in this folder: static instances of the variable Noto fonts, and the fallback for East Asian names.

Run by hand when a font has a new edition, with fontTools at hand:

    python build_fonts.py NotoSans[wdth,wght].ttf NotoSansArabic[wdth,wght].ttf DroidSansFallback.ttf

The variable fonts come with the packages fontpkg-noto-sans and fontpkg-noto-sans-arabic, the fallback with Debian's
fonts-droid-fallback. Licences: ``OFL.txt`` (Noto) and ``Apache-2.0.txt`` (Droid Sans Fallback).
"""

from __future__ import annotations

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

FOLDER = Path(__file__).resolve().parent
WEIGHTS = {"Regular": 400, "Bold": 700}
LATIN_GREEK_CYRILLIC = (
    *((0x0020, 0x02FF), (0x0300, 0x036F), (0x0370, 0x03FF), (0x0400, 0x052F), (0x1AB0, 0x1AFF), (0x1DC0, 0x1DFF)),
    *((0x1E00, 0x1EFF), (0x1F00, 0x1FFF), (0x2000, 0x20CF), (0x2100, 0x218F), (0x2190, 0x21FF), (0x2200, 0x22FF)),
    *((0x25A0, 0x25FF), (0x2C60, 0x2C7F), (0xA640, 0xA69F), (0xA720, 0xA7FF), (0xFB00, 0xFB06), (0xFFFD, 0xFFFD)),
)


def instance(source: Path, *, name: str, keep: tuple[tuple[int, int], ...] | None) -> None:
    """Writes a regular and a bold of a variable font, with the characters of ``keep`` only, hints left out."""
    for style, weight in WEIGHTS.items():
        font = instancer.instantiateVariableFont(TTFont(source), {"wght": weight, "wdth": 100}, updateFontNames=True)
        options = subset.Options(layout_features=["*"], hinting=False, notdef_outline=True, name_IDs=["*"])
        cutter = subset.Subsetter(options)
        every = font.getBestCmap()
        cutter.populate(unicodes=[one for one in every if keep is None or any(a <= one <= b for a, b in keep)])
        cutter.subset(font)
        font.save(FOLDER / f"{name}-{style}.ttf")


def fallback(source: Path) -> None:
    """Writes the fallback without hints."""
    font = TTFont(source)
    options = subset.Options(layout_features=["*"], hinting=False, notdef_outline=True, name_IDs=["*"])
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=list(font.getBestCmap()))
    cutter.subset(font)
    font.save(FOLDER / "DroidSansFallback.ttf")


if __name__ == "__main__":
    noto, arabic, droid = (Path(one) for one in sys.argv[1:])
    instance(noto, name="NotoSans", keep=LATIN_GREEK_CYRILLIC)
    instance(arabic, name="NotoSansArabic", keep=None)
    fallback(droid)
