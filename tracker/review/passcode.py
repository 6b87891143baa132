"""The coach's passcode, needed by everybody who opens the dashboard from another device."""

from __future__ import annotations

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from tracker.errors import RequestError
from tracker.store.database import Database
from tracker.store.ladders import save_setting, settings

SHORTEST_PASSCODE = 8
_SETTING = "passcode_hash"
_hasher = PasswordHasher()  # argon2id with the library's own cost, RFC 9106


def has_passcode(database: Database) -> bool:
    """Whether a passcode was set."""
    return _SETTING in settings(database)


def set_passcode(database: Database, passcode: str) -> None:
    """Sets the passcode; only its argon2 hash is kept. Raises RequestError when it is too short."""
    if len(passcode) < SHORTEST_PASSCODE:
        raise RequestError(f"A passcode has at least {SHORTEST_PASSCODE} characters; three words will do.")
    with database.transaction() as transaction:
        save_setting(transaction, name=_SETTING, value=_hasher.hash(passcode))


def is_passcode(database: Database, passcode: str) -> bool:
    """Whether this is the passcode."""
    try:
        return _hasher.verify(settings(database).get(_SETTING, ""), passcode)
    except (VerificationError, InvalidHashError):
        return False
