"""What hostile input is made of: hypothesis strategies for texts, tables, ladders, hand-over files and JSON bodies.

Most inputs start from something right and have a little wrong with them: what is all noise is refused at the door.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Sequence

import polars as pl
from hypothesis import strategies as st

from tracker.domain.ladder_file import shipped_ladder_text

BYTE_ORDER_MARKS = {
    "utf-8": b"",
    "utf-8-sig": b"",
    "utf-16": b"",
    "utf-16-be": b"\xfe\xff",
    "latin-1": b"",
    "cp1252": b"",
}
ODD_TEXTS = (
    *("", " ", "\t", "\n", "\r", "\0", "a\0b", "\x1b[2J", "\x7f", "\x85", "\u2028", "\ufeff", "\ufffe"),
    *(
        "=1+1",
        "@x",
        "-3",
        "+3",
        "\t=1",
        "'=1",
        "''=1",
        "＝1+1",
        "＠x",
        '=HYPERLINK("http://x.example","y")',
        "=cmd|' /C calc'!A0",
    ),
    *(
        "\u202egnp.exe",
        "a\u2066b\u2069",
        "a\u200bb",
        "\u200f",
        "שרה",
        "عمر",
        "李 小龙",
        "Zoë",
        "Zoe\u0308",
        "e" + "\u0301" * 70,
        "👩‍👩‍👧",
    ),
    *(
        "<img src=x onerror=alert(1)>",
        "<script>alert(1)</script>",
        "](javascript:alert(1))",
        "$x$",
        "#set page(",
        "{{7*7}}",
        "${7*7}",
    ),
    *("'; drop table strike; --", "%s%n%x", "../../etc/passwd", "C:\\con", "NUL", "a" * 79, "a" * 81, "a" * 5000),
    *(
        "NaN",
        "nan",
        "inf",
        "-inf",
        "Infinity",
        "1e308",
        "1e309",
        "-1e308",
        "1e-400",
        "0x10",
        "1_000",
        "１２",
        "9" * 400,
        "0",
        "-0",
        "1,5",
    ),
    *(
        "0000-00-00",
        "0000-01-01",
        "9999-12-31",
        "9999-12-31T23:59:59Z",
        "10000-01-01",
        "-0001-01-01",
        "2026-02-29",
        "1969-12-31",
    ),
    *(
        "2026-03-14",
        "2026-03-14T18:05:30+14:00",
        "2026-03-14T18:05:30-99:99",
        "2026-03-14T25:61:61Z",
        "2026-W11-6",
        "2026-03-29T02:30:00",
    ),
    *(
        "00000000-0000-0000-0000-000000000000",
        "ffffffff-ffff-ffff-ffff-ffffffffffff",
        "{0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f}",
    ),
    *("left", "LEFT", "right", "on", "off", "blocked", "true", "None", "null", "undefined", "\\N", "[]", "{}"),
)
odd_text = (
    st.sampled_from(ODD_TEXTS) | st.text(max_size=30) | st.text(alphabet="',;\"\t\r\n=@+- \0aé\u202e", max_size=30)
)

ANA, BEN = "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f", "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e60"
STRIKE = {
    "strike_id": "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e61",
    "struck_at": "2026-03-07T18:00:00Z",
    "date": "2026-03-07",
    "player": "Ana",
    "player_id": ANA,
    "foot": "left",
    "outcome": "off",
    "on_target": "false",
    "miss": "over",
    "surface": "laces",
    "stage": "Rolling ball",
    "distance_m": "8.5",
    "distance_yd": "9.3",
    "target_width_m": "2.5",
    "practice": "evening",
    "practice_id": "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e62",
    "set": "1",
    "set_id": "",
    "source": "file",
    "logger": "Tess",
    "squad": "",
    "struck_at_phone": "",
}
TALLY = {
    "date": "2026-03-07",
    "player": "Ben",
    "foot": "right",
    "attempts": "10",
    "on_target": "7",
    "left": "1",
    "right": "0",
    "over": "1",
    "short": "0",
    "blocked": "1",
    "stage": "Rolling ball",
    "distance_yd": "9",
    "surface": "inside",
    "set": "2",
    "squad": "",
    "logger": "Tess",
}
PLAYER = {
    "player": "Cleo",
    "player_id": "",
    "squad": "",
    "shirt_number": "9",
    "birth_year": "2014",
    "preferred_foot": "left",
    "active": "true",
}
NEEDED = {"player", "foot", "outcome", "date", "struck_at", "attempts", "on_target"}


@st.composite
def damaged(draw: st.DrawFn, contents: st.SearchStrategy[bytes]) -> bytes:
    """Most contents as they are; others cut, doubled, overwritten or grown somewhere."""
    content = draw(contents)
    if not draw(st.integers(0, 3)):
        for _ in range(draw(st.integers(1, 4))):
            place = draw(st.integers(0, max(len(content), 1)))
            length = draw(st.integers(0, 8))
            piece = draw(st.binary(max_size=8) | st.sampled_from([b'"', b"\0", b"\r", b"\xff\xff\xff\xff", b"\n" * 50]))
            content = draw(
                st.sampled_from(
                    [
                        content[:place] + piece + content[place + length :],
                        content[:place] + piece + content[place:],
                        content[:place],
                        content[place:],
                        content + content[place:],
                    ]
                )
            )
    return content


@st.composite
def rows(draw: st.DrawFn, right: dict[str, str]) -> tuple[list[str], list[list[str]]]:
    """A heading and up to five rows around a right one: fields left out, doubled, unknown, or holding odd texts."""
    left_out = draw(st.sets(st.sampled_from(sorted(right)), max_size=3))
    heading = [name for name in right if name not in left_out or (name in NEEDED and draw(st.booleans()))]
    if not draw(st.integers(0, 9)):
        heading = draw(st.permutations([*heading, draw(odd_text)]))
    table = []
    for _ in range(draw(st.sampled_from([0, 1, 1, 2, 2, 3, 5]))):
        wrong = draw(st.integers(0, 2 * len(right)))
        table.append([draw(odd_text) if place == wrong else right.get(name, "") for place, name in enumerate(heading)])
        if not draw(st.integers(0, 19)):
            table[-1] = table[-1][: draw(st.integers(0, 8))] + draw(st.lists(odd_text, max_size=3))
    return heading, table


@st.composite
def csv_bytes(draw: st.DrawFn, right: dict[str, str]) -> bytes:
    """A CSV file in one of many spellings."""
    heading, table = draw(rows(right))
    text = io.StringIO()
    writer = csv.writer(
        text,
        delimiter=draw(st.sampled_from([","] * 4 + [";", "\t", "|"])),
        quoting=draw(st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL])),
        lineterminator=draw(st.sampled_from(["\n", "\n", "\r\n", "\r"])),
    )
    writer.writerows([heading, *table])
    encoding = draw(st.sampled_from(["utf-8"] * 8 + list(BYTE_ORDER_MARKS)))
    content = BYTE_ORDER_MARKS[encoding] + text.getvalue().encode(encoding, "replace")
    return draw(damaged(st.just(content)))


@st.composite
def parquet_bytes(draw: st.DrawFn, right: dict[str, str]) -> bytes:
    """A Parquet file whose columns may hold what no such column should."""
    heading, table = draw(rows(right))
    full = [row[: len(heading)] + [""] * (len(heading) - len(row)) for row in table]
    frame = (
        pl.DataFrame(full, schema=list(dict.fromkeys(heading))[: len(heading)] or ["x"], orient="row")
        if len(set(heading)) == len(heading)
        else pl.DataFrame({"player": ["Ana"]})
    )
    kinds = [pl.Float64, pl.Int8, pl.Date, pl.Datetime("ns"), pl.Boolean, pl.Binary, pl.List(pl.String), pl.Duration]
    for name in frame.columns:
        if not draw(st.integers(0, 20)):
            frame = frame.with_columns(pl.lit(None, dtype=draw(st.sampled_from(kinds))).alias(name))
        elif not draw(st.integers(0, 20)):
            value = draw(
                st.sampled_from([float("nan"), float("inf"), 1e308, 2**62, -1, True])
                | st.datetimes()
                | st.dates()
                | st.binary()
            )
            frame = frame.with_columns(pl.lit(value).alias(name))
    buffer = io.BytesIO()
    frame.write_parquet(buffer, compression=draw(st.sampled_from(["uncompressed", "zstd", "snappy", "gzip"])))
    return draw(damaged(st.just(buffer.getvalue())))


odd_toml_value = st.sampled_from(
    [
        *(
            "nan",
            "inf",
            "-inf",
            "1e308",
            "-1",
            "0",
            "9" * 5000,
            "true",
            "[]",
            "[[]]",
            "{}",
            "{a = {a = {}}}",
            "[" * 2000,
        ),
        *(
            "1979-05-27T07:32:00Z",
            "9999-12-31",
            "'''",
            '""',
            '"\\u0000"',
            '"\\u202e"',
            '"\\ud800"',
            "0x7fffffffffffffffffff",
        ),
    ]
) | odd_text.map(lambda text: json.dumps(text, ensure_ascii=False))


@st.composite
def ladder_bytes(draw: st.DrawFn) -> bytes:
    """A ladder that ships, with lines changed, left out, doubled or put elsewhere."""
    lines = shipped_ladder_text("U11–U12").splitlines()
    for _ in range(draw(st.integers(0, 3))):
        place = draw(st.integers(0, len(lines) - 1))
        key = lines[place].partition("=")[0]
        other = draw(st.integers(0, len(lines) - 1))
        lines[place : place + 1] = draw(
            st.sampled_from([[], [lines[place]] * 2, [lines[other]], ["[[stages]]"], [draw(odd_text)]])
            | odd_toml_value.map(lambda value, key=key: [f"{key}= {value}"])
        )
    encoding = draw(st.sampled_from(["utf-8"] * 6 + ["utf-8-sig", "utf-16", "latin-1", "cp1252"]))
    return draw(damaged(st.just("\n".join(lines).encode(encoding, "replace"))))


odd_json: st.SearchStrategy[object] = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats()
    | odd_text
    | st.sampled_from([10**400, -1, 1e308]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(odd_text, inner, max_size=4),
    max_leaves=8,
)
ODD_BODIES = (
    *(b"", b"null", b"[]", b"{}", b'""', b"NaN", b"\xff", b"\xef\xbb\xbf{}", b"[" * 100_000, b'{"strikes":' * 5000),
    *(
        b'{"strikes": [], "strikes": [{}]}',
        b'{"strikes": [{"strike_id": NaN}]}',
        b'{"strikes": [1e999]}',
        b"9" * 100_000,
    ),
)


@st.composite
def bodies(draw: st.DrawFn, right: dict[str, object], *, listed_as: str) -> bytes:
    """The body of a delivery: right entries, each with up to three fields changed, dropped or added."""
    if not draw(st.integers(0, 9)):
        return draw(st.sampled_from(ODD_BODIES) | odd_json.map(lambda value: json.dumps(value).encode()))
    entries: list[object] = []
    for _ in range(draw(st.integers(0, 3))):
        entry: dict[str, object] = dict(right)
        if draw(st.booleans()):
            entry["strike_id"] = str(draw(st.uuids()))
        for _ in range(draw(st.integers(0, 2))):
            name = draw(st.sampled_from([*right, "extra", "__class__"]))
            entry[name] = draw(odd_json)
        entries.append(entry if draw(st.integers(0, 19)) else draw(odd_json))
    text = json.dumps({listed_as: entries}, ensure_ascii=draw(st.booleans()))
    return draw(damaged(st.just(text.encode("utf-8", "surrogatepass"))))


@st.composite
def hand_overs(draw: st.DrawFn, right: bytes) -> bytes:
    """A hand-over with parts dropped, damaged, of another kind, too deep, or under a name that leads elsewhere."""
    with zipfile.ZipFile(io.BytesIO(right)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = draw(st.sampled_from(sorted(parts)))
    match draw(st.integers(0, 9)):
        case 0:
            del parts[name]
        case 1:
            parts[name] = draw(damaged(st.just(parts[name])))
        case 2:
            parts[name] = right
        case 3:
            parts[draw(st.sampled_from(["../../evil.txt", "/etc/evil", "C:\\evil", "a" * 300, "\u202e", "con"]))] = (
                b"evil"
            )
        case 4 | 5:
            said = json.loads(parts["manifest.json"])
            said[draw(st.sampled_from([*said, "more"]))] = draw(odd_json)
            parts["manifest.json"] = json.dumps(draw(st.just(said) | odd_json)).encode()
        case 6 | 7 if name.endswith(".parquet"):
            parts[name] = _changed(draw, parts[name])
        case 8:
            parts["ladder.toml"] = draw(ladder_bytes())
        case _:
            pass
    content = io.BytesIO()
    kinds = [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA]
    with zipfile.ZipFile(content, "w", draw(st.sampled_from(kinds))) as archive:
        for one, part in parts.items():
            archive.writestr(one, part)
    return draw(damaged(st.just(content.getvalue())))


def _changed(draw: st.DrawFn, content: bytes) -> bytes:
    """The Parquet table with one column changed, dropped, or doubled rows."""
    frame = pl.read_parquet(io.BytesIO(content))
    name = draw(st.sampled_from(frame.columns))
    frame = draw(
        st.sampled_from(
            [
                frame.drop(name),
                pl.concat([frame, frame]),
                frame.head(0),
                frame.head(1),
                frame.with_columns(pl.lit(None, dtype=pl.String).alias(name)),
            ]
        )
        | odd_text.map(lambda text: frame.with_columns(pl.lit(text).alias(name)))
    )
    buffer = io.BytesIO()
    frame.write_parquet(buffer)
    return buffer.getvalue()


ROUTES = (
    "/healthz",
    "/pad",
    "/pad/",
    "/pad/x",
    "/pad/../x",
    "/api",
    "/api/practice",
    "/api/strikes",
    "/api/corrections",
)
METHODS: Sequence[str] = ("GET", "GET", "POST", "HEAD", "PUT", "DELETE", "OPTIONS", "TRACE", "\u202e")
_HEADERS = (
    "authorization",
    "content-type",
    "content-length",
    "origin",
    "host",
    "cookie",
    "accept",
    "range",
    "if-none-match",
)
_header_value = odd_text.map(lambda text: text.encode("utf-8", "replace")) | st.binary(max_size=40)


@st.composite
def requests(draw: st.DrawFn, token: str) -> tuple[str, bytes, bytes, list[tuple[bytes, bytes]]]:
    """Method, raw path, query string and headers, as a server would hand them on."""
    path = draw(st.sampled_from(ROUTES)).encode()
    if not draw(st.integers(0, 3)):
        path += b"/" + draw(odd_text).encode("utf-8", "replace")
    query = draw(st.binary(max_size=40) | odd_text.map(lambda text: b"practice=" + text.encode("utf-8", "replace")))
    headers = [(b"host", b"127.0.0.1")] if draw(st.integers(0, 9)) else []
    if draw(st.booleans()):
        headers.append(
            (b"authorization", b"Bearer " + (token.encode() if draw(st.booleans()) else draw(_header_value)))
        )
    for _ in range(draw(st.integers(0, 3))):
        headers.append((draw(st.sampled_from(_HEADERS)).encode(), draw(_header_value)))
    return draw(st.sampled_from(METHODS)), path, query, headers
