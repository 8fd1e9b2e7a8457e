"""Evidence: every check against the outside, its source, what is expected and what is got."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from lift.model.curves import CurveSet, default_curves
from lift.words import Note, note

PRACTICE = "common practice"


@dataclass(frozen=True)
class Check:
    """One comparison with something outside the project.

    What is compared, its source and both sides are words of the catalogue, ``evidence.CODE.name``
    and so on, with the numbers below.

    Parameters
    ----------
    code : str
        What is compared.
    kind : str
        ``published`` (a figure somebody measured or defined), ``library`` (another
        implementation) or `PRACTICE` (trade rows, no source).
    passed : bool
        Whether both sides agree.
    fitted : bool
        Whether the model was fitted to this very row: agreement is then no evidence.
    values : tuple of (str, object)
        Numbers and names of both sides; ``source`` where a table says its own.
    """

    code: str
    kind: str
    passed: bool
    fitted: bool = False
    values: tuple[tuple[str, Any], ...] = ()

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


def check(code: str, kind: str, passed: Any, *, fitted: bool = False, **values: Any) -> Check:
    """Make a check of its code, its outcome and its numbers."""
    return Check(code, kind, bool(passed), fitted, tuple(values.items()))


def all_checks(curves: CurveSet | None = None) -> Iterator[Check]:
    """Run every check, published ones first; by default of the shipped set.

    Examples
    --------
    >>> import lift
    >>> all(check.passed for check in lift.lab.all_checks())
    True
    """
    from lift.research.evidence.published import published_checks
    from lift.research.evidence.toning import toning_checks
    from lift.research.evidence.trade import trade_checks

    curves = curves or default_curves()
    yield from published_checks(curves)
    yield from toning_checks(curves)
    yield from trade_checks(curves)
