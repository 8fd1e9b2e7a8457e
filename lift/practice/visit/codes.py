"""Codes and days: how a client, a visit and a day are written, so that nobody is given away."""

from __future__ import annotations

import datetime
import re
import secrets
from collections.abc import Collection

from lift.errors import LiftError

# No vowels, so that no word comes out, and nothing that is misread.
_LETTERS = "bcdfghjkmnpqrstvwxz"
_DIGITS = "23456789"
_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{2,23}")
_MANY_DIGITS = 7

NAME = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")
"""Name of a visit, which an address or a file may hold."""


def check_code(code: str) -> str:
    """Return a client code when it gives nobody away.

    Raises
    ------
    LiftError
        When it looks like an e-mail address, a telephone number, a date of birth or a name; what
        names somebody is not printed back.
    """
    if "@" in code:
        raise LiftError("record.code.address")
    if sum(sign.isdigit() for sign in code) >= _MANY_DIGITS:
        raise LiftError("record.code.number", digits=_MANY_DIGITS)
    if not _CODE.fullmatch(code):
        raise LiftError("record.code.form", code=code)
    if not any(sign.isdigit() for sign in code):
        raise LiftError("record.code.name", code=code)
    return code


def make_code(taken: Collection[str] = ()) -> str:
    """Make a code of a client or a visit at random that is not taken yet, such as ``qf4-mk7``."""
    while True:
        parts = [
            "".join(secrets.choice(letters) for letters in (_LETTERS, _LETTERS, _DIGITS))
            for _ in range(2)
        ]
        code = "-".join(parts)
        if code not in taken:
            return code


def check_name(text: str) -> str:
    """Return the name of a visit when it is letters, digits and inner hyphens."""
    if not NAME.fullmatch(text):
        raise LiftError("visit.name_form", name=text[:60])
    return text


def check_day(text: str) -> str:
    """Return a day when it is YYYY-MM-DD; of what is planned it may be in the future."""
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except (TypeError, ValueError):
        raise LiftError("record.date.form", value=text) from None


def check_date(text: str) -> str:
    """Return a day when it is YYYY-MM-DD and not in the future."""
    day, today = check_day(text), datetime.date.today()
    if day > (today + datetime.timedelta(days=1)).isoformat():
        raise LiftError("record.date.future", value=text, today=str(today))
    return day


def check_instant(text: str) -> str:
    """Return a moment with its offset from UTC, as ``2026-11-27T10:03:22.120Z`` (RFC 3339)."""
    try:
        if datetime.datetime.fromisoformat(text).tzinfo is not None:
            return text
    except ValueError:
        pass
    raise LiftError("visit.instant_form", value=text[:40])
