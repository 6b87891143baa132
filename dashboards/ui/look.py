"""Sizes for fingers: what the theme cannot say. Colours and type are in ``tracker.serve.theme``."""

from __future__ import annotations

import streamlit as st

NAVIGATION, FOOT, OUTCOMES, MISSES, CALLED, LOGGED = "pages", "feet", "outcomes", "misses", "called", "logged"
FILTERED, MOVES, DECIDED, PASSES = "filtered", "moves", "decided", "passes"
"""Keys of the containers that the rules below are about."""

_RULES = f"""<style>
.block-container {{ max-width: 76rem; }}
header[data-testid="stHeader"] {{ display: none; }}
[data-testid="stCaptionContainer"], [data-testid="stCaptionContainer"] p {{ color: #404040; opacity: 1; }}
.st-key-{NAVIGATION} {{ border-bottom: 1px solid #b4b4b4; padding-bottom: 0.25rem; }}
.st-key-{NAVIGATION} a {{ min-height: 48px; padding: 0 0.55rem; justify-content: center; text-decoration: none; }}
.st-key-{NAVIGATION} [data-testid="stPageLink"] a p {{ font-size: 1.05rem; font-weight: 600; color: #111111; }}
.st-key-{NAVIGATION} [data-testid="stPageLink"] a p {{ text-decoration: none; }}
.st-key-{NAVIGATION} a[aria-current="page"] {{ box-shadow: inset 0 -3px #111111; border-radius: 0; }}
h1 {{ padding: 0.25rem 0 0.5rem 0 !important; }}
.st-key-{FOOT} button {{ min-height: 4rem; flex: 1 1 50%; justify-content: center; border-width: 2px; }}
.st-key-{FOOT} button p {{ font-size: 1.2rem; font-weight: 700; }}
.st-key-{OUTCOMES} button, .st-key-{MISSES} button {{ min-height: 96px; border-width: 2px; }}
.st-key-{OUTCOMES} button p {{ font-size: 1.4rem; font-weight: 700; }}
.st-key-{MISSES} button p {{ font-size: 1.1rem; font-weight: 600; }}
.st-key-{FOOT} button[aria-checked="true"]:first-of-type {{ background: #0072b2 !important; }}
.st-key-{FOOT} button[aria-checked="true"]:first-of-type p {{ color: #ffffff !important; }}
.st-key-{FOOT} button[aria-checked="true"]:last-of-type {{ background: #d55e00 !important; }}
.st-key-{FOOT} button[aria-checked="true"]:last-of-type p {{ color: #111111 !important; }}
.st-key-{MISSES} [data-testid="stColumn"], .st-key-{CALLED} [data-testid="stColumn"] {{ min-width: 0; }}
.st-key-{MISSES} button {{ padding: 0; }}
.st-key-{LOGGED} button, .st-key-{MOVES} button {{ min-height: 48px; }}
.st-key-{DECIDED} button, .st-key-{PASSES} button {{ min-height: 48px; }}
.st-key-{CALLED} [data-testid="stNumberInputContainer"] button {{ display: none; }}
.st-key-{CALLED} input {{ min-height: 48px; font-size: 1.2rem; text-align: center; }}
.st-key-{FILTERED} {{ border: 2px solid #111111; border-left-width: 0.6rem; padding: 0.25rem 0.75rem; }}
.st-key-{FILTERED} button {{ min-height: 48px; }}
.board-key {{ list-style: none; margin: 0 !important; padding: 0 !important; }}
.board-key {{ display: grid; gap: 0.4rem 1.5rem; }}
.board-key {{ grid-template-columns: repeat(auto-fit, minmax(min(18rem, 100%), 1fr)); }}
.board-key li {{ display: flex; gap: 0.6rem; align-items: center; margin: 0 !important; padding: 0; font-size: 1rem; }}
.board-key .box {{ flex: none; width: 2.6rem; height: 1.7rem; line-height: 1.6rem; border: 1px solid #404040; }}
.board-key .box {{ text-align: center; font-weight: 700; }}
[data-testid="stPageLink"] a {{ padding-left: 0; }}
[data-testid="stPageLink"] a p, [data-testid="stPopover"] button p {{ text-decoration: underline; color: #0b4f8a; }}
.strike-table {{ overflow-x: auto; }}
.strike-table table {{ width: 100%; border-collapse: collapse; font-size: 0.95rem; }}
.strike-table .words {{ overflow-wrap: break-word; max-width: 40rem; }}
.strike-table th {{ text-align: left; border-bottom: 2px solid #111111; padding: 0.35rem 0.5rem 0.35rem 0; }}
.strike-table td {{ border-bottom: 1px solid #c4c4c4; padding: 0.35rem 0.5rem 0.35rem 0; vertical-align: top; }}
.strike-table .number {{ text-align: right; font-variant-numeric: tabular-nums; }}
</style>"""


def apply() -> None:
    """Puts the rules on the page."""
    st.html(_RULES)
