"""Evidence: every check against the outside, its source, what is expected and what is got."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from lift.model.curves import CurveSet, default_curves
from lift.results import Result
from lift.words import Note, known, note

PRACTICE = "common practice"

MEASURED, MEASURED_FITTED = "measured", "measured_fitted"
PRACTICE_FITTED, PRACTICE_LEFT_OUT = "practice_fitted", "practice_left_out"
BUILT_IN = "built_in"
DEFINED = "defined"
STANDINGS = (MEASURED, MEASURED_FITTED, PRACTICE_FITTED, PRACTICE_LEFT_OUT, BUILT_IN, DEFINED)
"""What a check is worth, best first. What is built in was typed from the very row: it is shown, so
that nobody takes it for found, and not counted among what holds. The last stands apart: standards,
definitions, mathematics and other implementations say that the program computes what it should,
and nothing about hair."""


@dataclass(frozen=True, repr=False)
class Check(Result):
    """One comparison with something outside the project.

    What is compared, its source and both sides are words of the catalogue, ``evidence.CODE.name``
    and so on, with the numbers below.

    Parameters
    ----------
    code : str
        What is compared.
    kind : str
        ``measured`` (a figure somebody measured), ``defined`` (a standard, a definition or a
        theorem), ``library`` (another implementation) or `PRACTICE` (trade rows, no source).
    passed : bool
        Whether it holds: both sides agree.
    fitted : bool
        Whether the model was fitted to this very row: that it holds is then no evidence.
    values : tuple of (str, object)
        Numbers and names of both sides; ``source`` where a table says its own.
    built_in : bool
        Whether the model has this very row built in, as a list or a constant of its own.
    """

    code: str
    kind: str
    passed: bool
    fitted: bool = False
    values: tuple[tuple[str, Any], ...] = ()
    built_in: bool = False

    def _said(self, part: str) -> Note:
        return Note(f"evidence.{self.code}.{part}", self.values)

    @property
    def name(self) -> Note:
        """What is compared."""
        return self._said("name")

    @property
    def kind_name(self) -> Note:
        """What kind of outside it is."""
        return note(f"check.{self.kind}")

    @property
    def standing(self) -> str:
        """What it is worth, one of `STANDINGS`."""
        if self.built_in:
            return BUILT_IN
        if self.kind == PRACTICE:
            return PRACTICE_FITTED if self.fitted else PRACTICE_LEFT_OUT
        if self.kind == "measured":
            return MEASURED_FITTED if self.fitted else MEASURED
        return DEFINED

    @property
    def source(self) -> Note:
        """Where the expectation comes from; says so when it is from memory."""
        if self.kind == PRACTICE:
            return note("evidence.practice")
        values = dict(self.values)
        return note("text", text=values["source"]) if "source" in values else self._said("source")

    @property
    def expected(self) -> Note:
        """One side, with units."""
        return self._said("expected")

    @property
    def got(self) -> Note:
        """The other side."""
        return self._said("got")

    @property
    def finding(self) -> Note | None:
        """What it teaches that both sides differ, where that is known; None where they agree."""
        said = self._said("finding")
        return said if not self.passed and known(said.code) else None


def check(code: str, kind: str, passed: Any, *, fitted: bool = False, **values: Any) -> Check:
    """Make a check of its code, its outcome and its numbers."""
    return Check(code, kind, bool(passed), fitted, tuple(values.items()))


def built_in(code: str, kind: str, passed: Any, **values: Any) -> Check:
    """Make a check of what the model has built in."""
    return Check(code, kind, bool(passed), False, tuple(values.items()), built_in=True)


def all_checks(curves: CurveSet | None = None) -> Iterator[Check]:
    """Run every check, by default of the shipped set.

    Examples
    --------
    >>> import lift
    >>> all(c.passed for c in lift.lab.all_checks() if c.standing == "measured")
    True
    """
    from lift.research.evidence.choosing import choosing_checks
    from lift.research.evidence.measured import measured_checks
    from lift.research.evidence.standards import standards_checks
    from lift.research.evidence.toning import toning_checks
    from lift.research.evidence.trade import trade_checks

    curves = curves or default_curves()
    yield from measured_checks(curves)
    yield from toning_checks(curves)
    yield from trade_checks(curves)
    yield from choosing_checks(curves)
    yield from standards_checks(curves)


def by_standing(checks: Iterable[Check]) -> dict[str, list[Check]]:
    """Checks of each standing, in the order of `STANDINGS`; a standing without checks is there.

    Examples
    --------
    >>> list(by_standing([]))[0]
    'measured'
    """
    found: dict[str, list[Check]] = {standing: [] for standing in STANDINGS}
    for each in checks:
        found[each.standing].append(each)
    return found
