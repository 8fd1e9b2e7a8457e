"""Results beside one another: what differs, and how far apart the colours are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from lift.errors import LiftError
from lift.optics.colorimetry import delta_e_2000
from lift.results import Result
from lift.show.lesson.notebook import table
from lift.show.results.colours import lab_of
from lift.show.results.facts import facts, warned
from lift.words import say


@dataclass(frozen=True, eq=False, repr=False)
class Compared(Result):
    """Some results of one kind, side by side.

    Parameters
    ----------
    names : tuple of str
        What each is called, the first being what the others are held against.
    results : tuple of Result
        The results.
    dE00 : tuple of (float or None)
        How far the colour of each is from that of the first; None where there is none.
    """

    names: tuple[str, ...]
    results: tuple[Any, ...]
    dE00: tuple[float | None, ...]

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """What differs: label, then what is said of each."""
        told = [dict(facts(each)) for each in self.results]
        labels = dict.fromkeys(label for each in told for label in each)
        rows = [(label, *(each.get(label, "") for each in told)) for label in labels]
        found = [row for row in rows if len(set(row[1:])) > 1]
        if any(off is not None for off in self.dE00):
            offs = ("" if off is None else f"{off:.1f}" for off in self.dE00)
            found.append((say("results.apart"), *offs))
        return tuple(found)

    def __repr__(self) -> str:
        """Return the table in words."""
        told = table(("", *self.names), self.rows[:5], say("results.compared")).text
        beware = dict.fromkeys(line for each in self.results for line in warned(each, few=True))
        return "\n".join([told, *(f"! {line}" for line in [*beware][-2:])])

    def _repr_html_(self) -> str:
        shown = table(("", *self.names), self.rows, say("results.compared")).html
        beware = dict.fromkeys(line for each in self.results for line in warned(each))
        care = "<br>".join(map(escape, beware))
        return shown + self._locks() + (f"<p><small>{care}</small></p>" if care else "")

    def _locks(self) -> str:
        from lift.show.plots.lock import plot_beside

        labs = [lab_of(each) for each in self.results]
        if any(lab is None or lab.ndim != 1 for lab in labs):
            return ""
        looks: Any = dict(zip(self.names, labs, strict=True))
        return str(plot_beside(looks)._repr_html_())  # type: ignore[attr-defined]


def compare(first: Any, others: Sequence[Any], names: Sequence[str] = ()) -> Compared:
    """Hold results of one kind beside the first."""
    every = (first, *others)
    kind = type(first).__name__
    for each in others:
        if type(each) is not type(first):
            raise LiftError("results.other_kind", kind=kind, other=type(each).__name__)
    named = tuple(names) or tuple(say("results.nth", n=i + 1) for i in range(len(every)))
    if len(named) != len(every) or len(set(named)) != len(named):
        raise LiftError("results.names", names=len(set(named)), results=len(every))
    base = lab_of(first)
    offs = [_off(base, lab_of(each)) for each in every]
    return Compared(named, every, tuple(offs))


def _off(base: Any, lab: Any) -> float | None:
    if base is None or lab is None or base.shape != (3,) or lab.shape != (3,):
        return None
    return float(delta_e_2000(base, lab))
