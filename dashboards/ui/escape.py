"""Names are data: shown as they are, whatever they contain."""

from __future__ import annotations

import re

_JOINER = "\u2060"  # word joiner: no width, no break
_MARKDOWN = re.compile(r"([\\`*_\[\]<>$~|&#])")
# Streamlit looks for these in the finished text, where a backslash no longer helps: icons, emoji, addresses, arrows.
_FOUND_LATER = re.compile(r"(:(?=\S)|@|www|[-=<>~](?=[-=<>~]))", re.IGNORECASE)
_LIST_START = re.compile(r"^(\s*)([-+]|\d+[.)])")


def plain(text: str) -> str:
    """The text so that Streamlit's Markdown (labels, headings, messages) shows exactly its letters.

    >>> plain("**bold**"), plain("Ana-Lou O'Neil"), plain("[x](http://y)") == "\\\\[x\\\\](http:\u2060//y)"
    ('\\\\*\\\\*bold\\\\*\\\\*', "Ana-Lou O'Neil", True)
    """
    joined = _FOUND_LATER.sub(rf"\1{_JOINER}", text)
    escaped = _MARKDOWN.sub(r"\\\1", joined)
    return _LIST_START.sub(rf"\1{_JOINER}\2", escaped)
