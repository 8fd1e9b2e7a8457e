"""What the model cannot say, and how far apart the answers are that no measurement excludes."""

from __future__ import annotations

import numpy as np

from lift.model.curves import CurveSet, default_curves
from lift.model.strand import ABSORBERS, Pigment, natural_pigment, strand_lab
from lift.optics.colorimetry import chroma
from lift.research.planning.narrowing import LIGHTNESS
from lift.research.planning.series import lightening_series
from lift.words import Note, note

LEVELS = (3.0, 9.0)
"""Natural levels over which lightness is compared [-]."""


def unknown(curves: CurveSet | None = None) -> tuple[Note, ...]:
    """What no measurement settles, by default of the shipped set.

    Examples
    --------
    >>> [each.code for each in unknown()][0]
    'evidence.unknown.chroma'
    """
    curves = curves or default_curves()
    alone = chroma_alone(curves)
    told = [note("evidence.unknown.alone", pigment=n, chroma=c) for n, c in alone.items()]
    statuses = [curves[name].status for name in curves]
    counts = {status: statuses.count(status) for status in ("calibrated", "assumed")}
    return (
        note("evidence.unknown.chroma", lightness=LIGHTNESS, alone=told),
        note("evidence.unknown.time", count=len(statuses), **counts),
        note("evidence.unknown.lightness", span=lightness_span(curves)),
        note("evidence.unknown.grey"),
        note("evidence.unknown.damage"),
        _series(curves),
    )


def _series(curves: CurveSet) -> Note:
    """What would settle most of it."""
    series = lightening_series(curves=curves)
    (brown,) = (each for each in series.narrowed if each.name == "chroma_brown")
    found = {"low": brown.low, "high": brown.high}
    found |= {"low_after": brown.low_after, "high_after": brown.high_after}
    size = {"tresses": len(series.names), "minutes": series.minutes[-1]}
    return note("evidence.unknown.series", lightness=LIGHTNESS, **size, **found)


def chroma_alone(curves: CurveSet, lightness: float = LIGHTNESS) -> dict[str, float]:
    """C*ab of hair whose pigment is one kind alone, just enough of it for an L*.

    Parameters
    ----------
    curves : CurveSet
        Curve set.
    lightness : float
        L*, between that of black and that of unpigmented hair.

    Returns
    -------
    dict of str to float
        C*ab by name of the pigment.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> alone = chroma_alone(default_curves())
    >>> alone["eumelanin"] < alone["pheomelanin"]
    True
    """
    amounts = np.geomspace(1e-3, 1e3, 601)
    found = {}
    for name in ABSORBERS:
        only = Pigment(*(amounts if n == name else np.zeros(amounts.size) for n in ABSORBERS))
        lab = strand_lab(only, curves.values)
        # More pigment is darker: L* falls all the way.
        found[name] = float(np.interp(-lightness, -lab[:, 0], chroma(lab)))
    return found


def lightness_span(curves: CurveSet) -> float:
    """Largest move of a natural level's L* as the fibre's roughness goes through its range."""
    values = dict(curves.values)
    rough = curves["azimuthal_roughness"]
    levels = np.linspace(*LEVELS, 25)
    pigment = natural_pigment(levels, values["pheomelanin_share"], values)
    ends = [
        strand_lab(pigment, {**values, "azimuthal_roughness": roughness})[:, 0]
        for roughness in (rough.low, rough.value, rough.high)
    ]
    return float(np.max(np.ptp(ends, axis=0)))
