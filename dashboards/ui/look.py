"""Sizes for fingers: what the theme cannot say. Colours and type are in ``tracker.serve.theme``."""

from __future__ import annotations

import streamlit as st

FOOT, OUTCOMES, MISSES, CALLED, LOGGED = "feet", "outcomes", "misses", "called", "logged"
"""Keys of the containers that the rules below are about."""

_RULES = f"""<style>
.block-container {{ max-width: 76rem; }}
[data-testid="stCaptionContainer"] {{ color: #404040; }}
.st-key-{FOOT} button {{ min-height: 4rem; flex: 1 1 50%; justify-content: center; border-width: 2px; }}
.st-key-{FOOT} button p {{ font-size: 1.2rem; font-weight: 700; }}
.st-key-{OUTCOMES} button, .st-key-{MISSES} button {{ min-height: 96px; border-width: 2px; }}
.st-key-{OUTCOMES} button p {{ font-size: 1.4rem; font-weight: 700; }}
.st-key-{MISSES} button p {{ font-size: 1.1rem; font-weight: 600; }}
.st-key-{LOGGED} button {{ min-height: 48px; }}
.st-key-{CALLED} [data-testid="stNumberInputContainer"] button {{ display: none; }}
.st-key-{CALLED} input {{ min-height: 48px; font-size: 1.2rem; text-align: center; }}
</style>"""


def apply() -> None:
    """Puts the rules on the page."""
    st.html(_RULES)
