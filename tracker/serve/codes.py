"""QR codes of addresses, for the terminal and for pages."""

from __future__ import annotations

import io

import segno


def terminal_code(address: str) -> str:
    """The code as text for a terminal."""
    text = io.StringIO()
    segno.make(address, error="m").terminal(out=text, compact=True)
    return text.getvalue()


def svg_code(address: str) -> str:
    """The code as an SVG picture, black on white with its quiet zone, 8 units a module."""
    return segno.make(address, error="m").svg_inline(scale=8, dark="#000", light="#fff")
