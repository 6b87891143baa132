"""Who is at this page, for the audit log."""

from __future__ import annotations

import streamlit as st

from tracker.domain.squad import Player
from tracker.domain.vocabulary import AuditEvent
from tracker.review import audit
from tracker.store.database import Database


def who() -> str:
    """The account signed in, or without accounts whether it is this computer or another with the passcode."""
    if st.user.get("is_logged_in"):
        return str(st.user.get("email") or "signed in")
    return "this computer" if st.context.ip_address is None else "coach with the passcode"


def note(
    database: Database, what: AuditEvent, *, players: list[Player] | tuple[Player, ...] = (), detail: str = ""
) -> None:
    """Notes in the audit log what this person did."""
    audit.note(database, what, who=who(), players=players, detail=detail)
