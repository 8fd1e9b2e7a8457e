"""Forward model of measured swatches: every reading at once, for any number of parameter sets.

The physics is `lift.model.course`, as in `lift.model.trajectory.simulate`; here each row has its
own mixture, and the optical parameters may vary too, so that a fit can take all its derivatives in
one call.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model import course
from lift.model.course import STANDARD, Conditions, Structure
from lift.model.curves import Values
from lift.model.strand import Pigment, lightened, natural_pigment, strand_lab
from lift.model.strand_slopes import lab_slopes
from lift.research.swatches.table import Swatches

NOT_IN_EXPOSURE = frozenset(
    (
        *("half_oxidised_yield", "half_oxidised_rate_ratio", "half_oxidised_slope"),
        *("oxidised_pheomelanin_yield", "oxidised_pheomelanin_rate_ratio"),
        *("oxidised_pheomelanin_slope", "pheomelanin_rate_ratio", "azimuthal_roughness"),
        *("eumelanin_slope", "pheomelanin_slope", "keratin_slope"),
        *("melanin_at_level_3", "level_ratio", "pheomelanin_share", "keratin_strength"),
        *("eumelanin_strength", "pheomelanin_strength", "surface_reflectance", "surface_slope"),
    )
)
"""Parameters of colour and of what decays, which leave the dose as it is: it is then reused."""


def predict(
    swatches: Swatches,
    values: Values,
    starts: ArrayLike,
    structure: Structure = STANDARD,
    *,
    exposed: ArrayLike | None = None,
) -> Floats:
    """Predicted colour of every reading.

    Parameters
    ----------
    swatches : Swatches
        Conditions of the readings; their colours are not used.
    values : mapping
        Parameter values by name, each a number or an array of shape (sets,), which gives one
        prediction a parameter set.
    starts : array_like
        Starting level of each swatch [-], shape (swatches,) or (sets, swatches). It may leave 1
        to 10, as the load of pigment goes on beyond.
    structure : Structure
        Which physics to use.
    exposed : array_like, optional
        Exposure of every reading [-], shape (rows,) or (sets, rows); default: `exposure`.

    Returns
    -------
    numpy.ndarray
        CIELAB in the illuminant and observer of the table, shape (rows, 3) or (sets, rows, 3).

    Raises
    ------
    LiftError
        When the shape of `starts` does not fit.
    """
    pigment, _, by_set, seen = _lightened(swatches, values, starts, structure, exposed)
    return strand_lab(pigment, by_set, **seen)


def predict_slopes(
    swatches: Swatches,
    values: Values,
    starts: ArrayLike,
    structure: Structure,
    exposed: ArrayLike,
) -> Floats:
    """Predicted colours with their slopes, by starting level [1/level] and logarithm of the rate.

    See `predict`; shape (3, ...), see `lift.model.strand_slopes`.
    """
    pigment, exposed, by_set, seen = _lightened(swatches, values, starts, structure, exposed)
    return lab_slopes(pigment, exposed, by_set, **seen)


def _lightened(
    swatches: Swatches,
    values: Values,
    starts: ArrayLike,
    structure: Structure,
    exposed: ArrayLike | None,
) -> tuple[Pigment, Floats, dict[str, Any], dict[str, Any]]:
    """Pigment, exposure and values of every reading, and what its colour is seen with."""
    start = np.asarray(starts, dtype=np.float64)
    if start.ndim == 0 or start.shape[-1] != len(swatches.names):
        raise LiftError("swatches.starts_shape", shape=start.shape, count=len(swatches.names))
    # A set of parameters becomes a column, so that it broadcasts against the rows.
    by_set: dict[str, Any] = {
        k: np.asarray(v)[..., None] if np.ndim(v) else v for k, v in values.items()
    }
    if not structure.half_oxidised:
        by_set |= {"half_oxidised_yield": 0.0, "oxidised_pheomelanin_yield": 0.0}
    natural = natural_pigment(start[..., swatches.swatch], swatches.melanin(by_set), by_set)
    if exposed is None:
        exposed = exposure(swatches, by_set, structure)
    tone = course.tones_formed(conditions_of(swatches, by_set, structure))
    seen: dict[str, Any] = {
        "tone": tone if any(np.any(dose) for dose in tone.values()) else None,
        "illuminant": swatches.illuminant,
        "observer": swatches.observer,
    }
    return lightened(natural, exposed, by_set), np.asarray(exposed), by_set, seen


def exposure(swatches: Swatches, values: Values, structure: Structure = STANDARD) -> Floats:
    """Rate constant times dose of every reading [-], shape (rows,) or (sets, rows).

    Parameter values are numbers, or arrays of shape (sets, 1).
    """
    return course.exposure(conditions_of(swatches, values, structure), values)


def conditions_of(
    swatches: Swatches, values: Values, structure: Structure = STANDARD
) -> Conditions:
    """Conditions of every row; what a row does not give is its class's, in the curve set."""
    properties = swatches.properties(values)
    ph = np.where(np.isnan(swatches.ph), properties["ph"], swatches.ph)
    return Conditions(
        minutes=swatches.minutes,
        on_head_volume=swatches.on_head_volume,
        temperature_c=swatches.temperature_c,
        fibre_um=swatches.fibre_um,
        structure=structure,
        **properties | {"ph": ph},
    )
