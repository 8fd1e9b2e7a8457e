"""Record: what was done to a strand and what came out, under a client code."""

from __future__ import annotations

import datetime
import re
import secrets
from collections.abc import Collection
from dataclasses import dataclass

from lift.errors import LiftError
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.trial.observation import Observation
from lift.quantities import Quantity

ZONES = ("regrowth", "mid-lengths", "ends", "highlights", "strand test")
ZONE = Quantity("zone", typed="zone", choices=lambda: ZONES)

# No vowels, so that no word comes out, and nothing that is misread.
_LETTERS = "bcdfghjkmnpqrstvwxz"
_DIGITS = "23456789"
_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{2,23}")
_MANY_DIGITS = 7


@dataclass(frozen=True, eq=False)
class Record:
    """One strand or zone: hair, mixture, time, and the result.

    Parameters
    ----------
    client : str
        Code of the client; no name, address or number of a person.
    date : str
        Day, as YYYY-MM-DD.
    hair : Hair
        As judged before; single numbers.
    mixture : Mixture
        What lay on it; single numbers.
    result : Observation
        Time at which it was rinsed, and what was seen then.
    zone : str, optional
        One of `ZONES`.
    invented : bool
        Made up for a demonstration or a test; never learned from unless asked.
    number : int, optional
        Number in its file, given when it is added.

    Raises
    ------
    LiftError
        For a code that could be an address, a number or a name, or a value out of range.

    Examples
    --------
    >>> from lift import Hair, Mixture, Observation, Record
    >>> Record(
    ...     client="qf4-mk7",
    ...     date="2024-05-17",
    ...     hair=Hair(6),
    ...     mixture=Mixture("cream", 20),
    ...     result=Observation(25, level=7.5),
    ...     invented=True,
    ... ).zone is None
    True
    """

    client: str
    date: str
    hair: Hair
    mixture: Mixture
    result: Observation
    zone: str | None = None
    invented: bool = False
    number: int | None = None

    def __post_init__(self) -> None:
        check_code(self.client)
        check_date(self.date)
        ZONE.check(self.zone)


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
    """Make a client code at random that is not taken yet, such as ``qf4-mk7``."""
    while True:
        parts = [
            "".join(secrets.choice(letters) for letters in (_LETTERS, _LETTERS, _DIGITS))
            for _ in range(2)
        ]
        code = "-".join(parts)
        if code not in taken:
            return code


def check_date(text: str) -> str:
    """Return a day when it is YYYY-MM-DD and not in the future."""
    try:
        day = datetime.date.fromisoformat(text)
    except (TypeError, ValueError):
        raise LiftError("record.date.form", value=text) from None
    if day > datetime.date.today() + datetime.timedelta(days=1):
        raise LiftError("record.date.future", value=text, today=str(datetime.date.today()))
    return day.isoformat()
