"""A player's season report as one HTML file that needs nothing beside it: for a phone, or to send."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable
from html import escape
from typing import Any

from tracker.report.printed.engine import Data

_STYLE = """
:root { color-scheme: light; }
body { font: 1rem/1.45 "Noto Sans", system-ui, sans-serif; color: #111; background: #fff; margin: 0 auto;
  max-width: 46rem; padding: 1rem; }
h1 { margin: 0.2rem 0; font-size: 1.9rem; overflow-wrap: anywhere; }
h2 { font-size: 1.15rem; margin: 1.8rem 0 0.6rem; padding-bottom: 0.25rem; border-bottom: 1px solid #b4b4b4; }
h3 { font-size: 1rem; margin: 0.5rem 0; }
.soft { color: #404040; }
.season p { font-size: 1.15rem; margin: 0.3rem 0; }
.feet { display: grid; grid-template-columns: repeat(auto-fit, minmax(17rem, 1fr)); gap: 0 2rem; }
.twenty { display: block; width: 100%; max-width: 22rem; height: auto; margin: 0.2rem 0 0.7rem; }
figure { margin: 0.5rem 0; }
figure svg { width: 100%; height: auto; }
figure svg text { font-family: "Noto Sans", system-ui, sans-serif; }
table { border-collapse: collapse; width: 100%; font-size: 0.92rem; }
th { text-align: left; border-bottom: 2px solid #111; padding: 0.25rem; }
td, tbody th { border-bottom: 1px solid #c4c4c4; padding: 0.25rem; font-weight: normal; }
@media print { section { break-inside: avoid; } }
"""
MARK_SIZE, MARK_STEP, HALF_GAP = 16, 20, 8


def web_page(data: Data) -> str:
    """The report of ``player_page`` as HTML; every text in it is escaped, whatever it contains."""
    heads = data["heads"]
    body = [
        f'<p class="soft">{_text(data["kind"])} · {_text(data["under_name"])}</p>',
        f'<h1 dir="auto">{_text(data["name"])}</h1><p class="soft">{_text(data["days"])}</p>',
        _section(heads["season"], *_paragraphs(data["sentences"]), kind="season"),
        _section(heads["feet"], _two(_foot(foot) for foot in data["feet"])),
        _section(heads["read"], _list(data["how_to_read"])),
        _section(heads["stages"], *_paragraphs([data["stages_note"]]), _table(data), *_paragraphs([data["firm_note"]])),
        *(_more(data) if data["is_enough"] else ()),
        _section(heads["next"], _two(_next(one) for one in data["next"])),
        _section(heads["coach"], *_paragraphs(data["coach_words"])) if data["coach_words"] else "",
    ]
    return (
        f'<!doctype html><html lang="{_text(data["language"])}"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta name="keywords" content="strike-ladder, {_text(data["mark"])}">'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f"<title>{_text(data['title'])}</title><style>{_STYLE}</style></head><body><main>\n"
        + "\n".join(body)
        + "\n</main></body></html>\n"
    )


def _more(data: Data) -> list[str]:
    """What is told where the strikes are enough: the gap, what is kept, the aim."""
    heads, feet = data["heads"], data["feet"]
    return [
        _section(heads["gap"], *_paragraphs([data["gap"]])),
        _section(heads["kept"], *(f"<p><b>{_text(foot)}:</b> {_text(words)}</p>" for foot, words in data["kept"])),
        _section(heads["aim"], *_paragraphs([data["fan_note"]]), _two(_aim(foot) for foot in feet)),
    ]


def _text(text: object) -> str:
    return escape(str(text), quote=True)


def _paragraphs(lines: Iterable[str]) -> list[str]:
    return [f'<p dir="auto">{_text(line)}</p>' for line in lines if line]


def _section(head: str, *parts: str, kind: str = "") -> str:
    inner = "".join(parts)
    kind = f' class="{kind}"' if kind else ""
    return f"<section><h2>{_text(head)}</h2><div{kind}>{inner}</div></section>"


def _two(parts: Iterable[str]) -> str:
    """Parts beside one another where the page is wide enough."""
    return f'<div class="feet">{"".join(parts)}</div>'


def _foot(foot: dict[str, Any]) -> str:
    rows = "".join(
        f"<p><b>{_text(row['label'])}: {_text(row['count'])}</b> ({_text(row['likely'])})</p>{_marks(foot, row)}"
        for row in foot["rows"]
    )
    return (
        f"<div><h3>{_text(foot['name'])}</h3><p>{_text(foot['stage'])}</p><p>{_text(foot['practised'])}</p>"
        f"{rows}{''.join(_paragraphs([foot['change']]))}</div>"
    )


def _marks(foot: dict[str, Any], row: dict[str, Any]) -> str:
    """Twenty marks, the likely range underlined; the words beside them say the same."""
    colour, drawn = foot["colour"], []
    for place in range(20):
        fill = colour if place < row["filled"] else "none"
        look = f'fill="{fill}" stroke="{colour}" stroke-width="2"'
        if foot["shape"] == "circle":
            drawn.append(f'<circle cx="{_at(place) + MARK_SIZE / 2:g}" cy="9" r="7" {look}/>')
        else:
            drawn.append(f'<rect x="{_at(place) + 1}" y="2" width="14" height="14" {look}/>')
    last = max(row["most"], row["least"] + 1) - 1
    line = f'<path d="M{_at(row["least"])} 23H{_at(last) + MARK_SIZE}" stroke="#111" stroke-width="3"/>'
    width = _at(19) + MARK_SIZE + 2
    return f'<svg class="twenty" viewBox="0 0 {width} 26" aria-hidden="true">{"".join(drawn)}{line}</svg>'


def _at(place: int) -> int:
    return place * MARK_STEP + (HALF_GAP if place >= 10 else 0)


def _figure(picture: dict[str, str] | None) -> str:
    """A picture in the page: read out once as a whole, its ids unlike those of the other pictures."""
    if picture is None:
        return ""
    own = f"p{zlib.crc32(picture['svg'].encode()):x}-"
    plain = re.sub(r'\s(aria-[a-z]+|role)="[^"]*"', "", picture["svg"])
    plain = re.sub(r'(\bid="|url\(#|href="#)', rf"\g<1>{own}", plain)
    return f'<figure role="img" aria-label="{_text(picture["alt"])}">{plain}</figure>'


def _aim(foot: dict[str, Any]) -> str:
    return (
        f"<div><h3>{_text(foot['name'])}</h3><p>{_text(foot['aim'])}</p>{_figure(foot['fan'])}"
        f"<p>{_text(foot['fan_target'])}</p></div>"
    )


def _list(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{_text(line)}</li>" for line in lines) + "</ul>"


def _table(data: Data) -> str:
    heads = "".join(f'<th scope="col">{_text(head)}</th>' for head in data["stage_heads"])
    rows = "".join(
        f'<tr><th scope="row">{_text(stage["name"])}</th>' + "".join(map(_cell, stage["feet"])) + "</tr>"
        for stage in data["stages"]
    )
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _cell(foot: dict[str, Any]) -> str:
    words = _text(foot["words"])
    return f"<td><b>{words}</b></td>" if foot["is_now"] else f"<td>{words}</td>"


def _next(one: dict[str, Any]) -> str:
    reason = f"<p>{_text(one['reason'])}</p>" if one["reason"] else ""
    return f"<div><h3>{_text(one['words'])}</h3>{reason}<p>{_text(one['where'])}</p>{_list(one['points'])}</div>"
