"""Evidence: every check against the outside, its source, what is expected and what is got."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from lift.model.curves import CurveSet, default_curves


@dataclass(frozen=True)
class Check:
    """One comparison with something outside the project.

    Parameters
    ----------
    name : str
        What is compared.
    kind : str
        ``published`` (a figure somebody measured or defined), ``library`` (another
        implementation) or ``common practice`` (trade rows, no source).
    source : str
        Where the expectation comes from; says so when it is from memory.
    expected, got : str
        Both sides, with units.
    passed : bool
        Whether they agree.
    fitted : bool
        Whether the model was fitted to this very row: agreement is then no evidence.
    """

    name: str
    kind: str
    source: str
    expected: str
    got: str
    passed: bool
    fitted: bool = False

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return dict(vars(self))


def all_checks(curves: CurveSet | None = None) -> Iterator[Check]:
    """Run every check, published ones first.

    Parameters
    ----------
    curves : CurveSet, optional
        Default: the shipped set.

    Yields
    ------
    Check
    """
    from lift.research.evidence.published import published_checks
    from lift.research.evidence.toning import toning_checks
    from lift.research.evidence.trade import trade_checks

    curves = curves or default_curves()
    yield from published_checks(curves)
    yield from toning_checks(curves)
    yield from trade_checks(curves)
