"""Record: what was done to a strand and what came out, under a client code."""

from __future__ import annotations

import datetime
import re
import secrets
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from lift.errors import LiftError, check_choice, check_number
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.practice.trial.observation import Observation

ZONES = ("regrowth", "mid-lengths", "ends", "highlights", "strand test")

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
        if self.zone is not None:
            check_choice("zone", self.zone, ZONES)


def check_code(code: str) -> str:
    """Return a client code when it gives nobody away.

    Raises
    ------
    LiftError
        When it looks like an e-mail address, a telephone number, a date of birth or a name.
    """
    tip = "use a code such as qf4-mk7, or leave it out and one is made"
    if "@" in code:
        raise LiftError(f"client code looks like an e-mail address; {tip}")
    if sum(sign.isdigit() for sign in code) >= _MANY_DIGITS:
        raise LiftError(
            f"client code has {_MANY_DIGITS} digits or more, like a telephone number or a date of "
            f"birth; {tip}"
        )
    if not _CODE.fullmatch(code):
        raise LiftError(
            f"client code {code!r} is not 3 to 24 letters, digits, - or _ (no spaces); {tip}"
        )
    if not any(sign.isdigit() for sign in code):
        raise LiftError(f"client code {code!r} could be a name: it needs a digit; {tip}")
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
        raise LiftError(f"date {text!r} is not a day as in 2024-05-17") from None
    if day > datetime.date.today() + datetime.timedelta(days=1):
        raise LiftError(f"date {text} is in the future; nearest: {datetime.date.today()}")
    return day.isoformat()


COLUMNS = {
    "client": "TEXT NOT NULL",
    "date": "TEXT NOT NULL",
    "zone": "TEXT",
    "level": "REAL NOT NULL",
    "fibre_um": "REAL NOT NULL",
    "damp": "INTEGER NOT NULL",
    "grey_percent": "REAL NOT NULL",
    "pheomelanin_share": "REAL",
    "lightened_to": "REAL",
    "mixture": "TEXT NOT NULL",
    "volume": "REAL NOT NULL",
    "developer_parts": "REAL NOT NULL",
    "ph": "REAL",
    "boost": "REAL",
    "temperature_c": "REAL NOT NULL",
    "tone": "TEXT",
    "tone_minutes": "REAL",
    "minutes": "REAL NOT NULL",
    "seen_level": "REAL",
    "seen_l": "REAL",
    "seen_a": "REAL",
    "seen_b": "REAL",
    "invented": "INTEGER NOT NULL",
}
"""Columns of a record's flat form; an empty cell means not given."""


def to_row(record: Record) -> dict[str, Any]:
    """Flat form of a record, keys as in `COLUMNS`; tone as ``violet=2,blue=1`` or ``none``."""
    hair, mixture, result = record.hair, record.mixture, record.result
    tone = mixture.tone
    doses = None if tone is None else ",".join(f"{k}={v:g}" for k, v in tone.items()) or "none"
    colour = (None, None, None) if result.lab is None else result.lab
    return {
        "client": record.client,
        "date": record.date,
        "zone": record.zone,
        "level": hair.level,
        "fibre_um": hair.fibre_um,
        "damp": int(hair.damp),
        "grey_percent": hair.grey_percent,
        "pheomelanin_share": hair.pheomelanin_share,
        "lightened_to": hair.lightened_to,
        "mixture": mixture.kind,
        "volume": float(mixture.developer_volume),
        "developer_parts": mixture.developer_parts,
        "ph": mixture.ph,
        "boost": mixture.boost,
        "temperature_c": mixture.temperature_c,
        "tone": doses,
        "tone_minutes": mixture.tone_minutes,
        "minutes": result.minutes,
        "seen_level": result.level,
        "seen_l": colour[0],
        "seen_a": colour[1],
        "seen_b": colour[2],
        "invented": int(record.invented),
    }


def from_row(
    row: Mapping[str, Any], number: int | None = None, classes: MixtureClasses | None = None
) -> Record:
    """Record of a flat form; every value is checked again.

    Raises
    ------
    LiftError
        For a value out of range.
    """
    colour: Any = tuple(row[f"seen_{axis}"] for axis in "lab")
    return Record(
        client=row["client"],
        date=row["date"],
        hair=Hair(
            level=row["level"],
            fibre_um=row["fibre_um"],
            damp=bool(row["damp"]),
            grey_percent=row["grey_percent"],
            pheomelanin_share=row["pheomelanin_share"],
            lightened_to=row["lightened_to"],
        ),
        mixture=Mixture(
            kind=(classes or mixture_classes())[row["mixture"]],
            volume=row["volume"],
            developer_parts=row["developer_parts"],
            ph=row["ph"],
            boost=row["boost"],
            temperature_c=row["temperature_c"],
            tone=_doses(row["tone"]),
            tone_minutes=row["tone_minutes"],
        ),
        result=Observation(
            row["minutes"], row["seen_level"], None if colour == (None,) * 3 else colour
        ),
        zone=row["zone"],
        invented=bool(row["invented"]),
        number=number,
    )


def _doses(text: str | None) -> dict[str, float] | None:
    if text is None:
        return None
    pairs = [] if text == "none" else [part.partition("=") for part in text.split(",")]
    return {dye: check_number(f"dose of {dye}", dose, 0.0, 1e3) for dye, _, dose in pairs}
