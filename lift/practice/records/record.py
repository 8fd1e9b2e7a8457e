"""Record: what was done to a strand and what came out, under a client code."""

from __future__ import annotations

from dataclasses import dataclass

from lift.doors import checked
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.trial.observation import Observation
from lift.practice.visit.codes import check_code, check_date
from lift.quantities import Quantity

ZONES = ("regrowth", "mid-lengths", "ends", "highlights", "strand test")
ZONE = Quantity("zone", typed="zone", choices=lambda: ZONES)


@checked
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
