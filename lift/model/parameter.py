"""One number of the model, with its unit, range, status and source."""

from __future__ import annotations

from dataclasses import dataclass

from lift.doors import checked
from lift.errors import LiftError, check_choice, check_number
from lift.model.frozen import store
from lift.results import Result
from lift.words import note

STATUSES = ("published", "common practice", "calibrated", "assumed", "tuned")
WIDE = (-1e9, 1e9)


@checked
@dataclass(frozen=True, repr=False)
class Parameter(Result):
    """One number of the model.

    Parameters
    ----------
    name : str
        Name, with no unit in it.
    value, low, high : float
        Value and allowed closed range, in `unit`.
    unit : str
        Unit, ``-`` when there is none.
    status : str
        ``published``, ``common practice``, ``calibrated``, ``assumed`` or ``tuned``.
    source : str
        Where the value comes from.

    Raises
    ------
    LiftError
        When the value lies outside its range, or status or source are missing.

    Examples
    --------
    >>> Parameter("cream_ph", 9.8, "-", 8.0, 11.5, "assumed", "alkaline cream").value
    9.8
    """

    name: str
    value: float
    unit: str
    low: float
    high: float
    status: str
    source: str

    def __post_init__(self) -> None:
        check_choice(note("curves.status", name=self.name), self.status, STATUSES)
        if not self.source.strip():
            raise LiftError("curves.no_source", name=self.name)
        said = note("curves.parameter_named", name=self.name)
        for key in ("value", "low", "high"):
            store(self, key, check_number(said, getattr(self, key), *WIDE))
        check_number(said, self.value, self.low, self.high, self.unit)
