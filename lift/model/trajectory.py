"""A strand through time: what lightening exposes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import Floats, LiftError, check_range
from lift.model.course import conditions_of, exposure, tones_formed
from lift.model.curves import CurveSet, Values, default_curves
from lift.model.domain import check_domain
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import NaturalPath, path_of
from lift.model.stages import named_stage
from lift.model.strand import (
    Fibres,
    Pigment,
    hair_pigment,
    lightened,
    strand_fibres,
    strand_lab,
    strand_lightness,
)
from lift.optics.colorimetry import chroma, hue_deg
from lift.quantities import MINUTES, check_shapes
from lift.results import Result

MINUTES_RANGE = MINUTES.range
USUAL_PRIOR_EXPOSURE, MAX_PRIOR_EXPOSURE = 12.0, 40.0
RIDDERS_ROUNDS = 7

_WARMTH = ("warmth", "blend_warmth", "exposed")
_NUMBERS = ("minutes", "level", "lift", *_WARMTH, "exposure")


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Trajectory(Result):
    """Colour of a strand through time; arrays share the broadcast shape (...).

    Parameters
    ----------
    minutes : numpy.ndarray
        Processing time [min].
    lab : numpy.ndarray
        CIELAB as seen, tone and grey included (D65, 10 degrees), shape (..., 3): both kinds of
        fibres as the eye blends them.
    pigmented, white : numpy.ndarray
        CIELAB of the pigmented and of the white fibres by themselves, tone included, shape
        (..., 3); `white` is None where no hair is grey.
    underpigment : numpy.ndarray
        CIELAB of the pigmented fibres without added tone, shape (..., 3).
    level, lift : numpy.ndarray
        Level now and level gained [levels], of the pigmented fibres without added tone.
    warmth : numpy.ndarray
        C*ab of `pigmented` in excess of natural hair of the same L* [CIELAB units]: what lies
        beside white fibres is as warm as it is, however cool the blend.
    blend_warmth : numpy.ndarray
        The same of `lab` [CIELAB units].
    exposed : numpy.ndarray
        Warmth that lightening has exposed: that of `underpigment` [CIELAB units].
    exposure : numpy.ndarray
        Rate constant times dose, counted from natural hair [-].
    pigment : Pigment
        What is left in the pigmented fibres.
    tone : mapping of str to numpy.ndarray
        Dose of each dye formed by then [0.01 absorption per fibre radius].
    curves : CurveSet
        The curve set used.
    values : mapping of str to float or numpy.ndarray
        Its parameter values as these strands have them, an ensemble's draws among them.

    Examples
    --------
    >>> strand = simulate(Hair(7), Mixture("base-break", 10), [0, 5, 10])
    >>> strand.lab.shape, strand.warmth.shape
    ((3, 3), (3,))
    >>> sorted(strand.tone)
    ['violet']
    """

    minutes: Floats
    lab: Floats
    pigmented: Floats
    white: Floats | None
    underpigment: Floats
    level: Floats
    lift: Floats
    warmth: Floats
    blend_warmth: Floats
    exposed: Floats
    exposure: Floats
    pigment: Pigment
    tone: Mapping[str, Floats]
    curves: CurveSet
    values: Values

    def up_to(self, count: int) -> Trajectory:
        """Return the trajectory with only its first `count` times (last axis)."""
        return self._some(slice(None, count))

    @property
    def last(self) -> Trajectory:
        """The trajectory with only its last time (last axis)."""
        return self._some(slice(-1, None))

    def _some(self, some: slice) -> Trajectory:
        pigment = self.pigment.map(lambda p: np.broadcast_to(p, self.lift.shape)[..., some])
        return replace(
            self,
            lab=self.lab[..., some, :],
            pigmented=self.pigmented[..., some, :],
            white=None if self.white is None else self.white[..., some, :],
            underpigment=self.underpigment[..., some, :],
            pigment=pigment,
            tone={k: v[..., some] for k, v in self.tone.items()},
            **{name: getattr(self, name)[..., some] for name in _NUMBERS},
        )

    @property
    def stage(self) -> Any:
        """Name of the underpigment's stage, ``natural`` before any; str or array of str."""
        return named_stage(self.underpigment, self.exposed, self.level, self.curves)

    @property
    def hue_deg(self) -> Floats:
        """CIELAB hue angle of `lab` [degrees], 0 to 360."""
        return hue_deg(self.lab)

    @property
    def chroma(self) -> Floats:
        """C*ab of `lab` [CIELAB units]."""
        return chroma(self.lab)


def exposure_before(hair: Hair, values: Values, path: NaturalPath) -> Floats:
    """Exposure [-] that earlier lightening amounts to; 0 for hair never lightened.

    The exposure is found on the lightness of the level the hair was lightened to, by Ridders'
    method (IEEE Trans. Circuits Syst. 26 (1979) 979, from memory), for every element at once.
    """
    if hair.lightened_to is None:
        return np.zeros(np.shape(hair.level))
    natural = hair_pigment(hair, values)
    gained = np.asarray(hair.lightened_to) - np.asarray(hair.level)
    start = path.level_of_lightness(strand_lab(natural, values)[..., 0])
    target = path.lab_of_level(np.clip(start + gained, -1.0, 16.0))[..., 0]

    def above(exposure: Floats) -> Floats:
        return strand_lightness(lightened(natural, exposure, values), values) - target

    low, high = np.zeros(np.shape(target)), np.full(np.shape(target), USUAL_PRIOR_EXPOSURE)
    at_low, at_high = above(low), above(high)
    if np.any(at_high < 0.0):
        high = np.where(at_high < 0.0, MAX_PRIOR_EXPOSURE, high)
        at_high = above(high)
    better = low
    for _ in range(RIDDERS_ROUNDS):
        middle = 0.5 * (low + high)
        at_middle = above(middle)
        curved = np.sqrt(np.maximum(at_middle**2 - at_low * at_high, 1e-300))
        better = np.clip(middle - (middle - low) * at_middle / curved, low, high)
        at_better = above(better)
        for point, at in ((middle, at_middle), (better, at_better)):
            below = at < 0.0
            low, at_low = _closer(below & (point >= low), (point, at), (low, at_low))
            high, at_high = _closer(~below & (point <= high), (point, at), (high, at_high))
    return np.where(gained > 0.0, better, 0.0)


def _closer(
    take: Any, new: tuple[Floats, Floats], old: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    return np.where(take, new[0], old[0]), np.where(take, new[1], old[1])


def simulate(
    hair: Hair,
    mixture: Mixture,
    minutes: ArrayLike,
    curves: CurveSet | None = None,
    *,
    values: Values | None = None,
    prior_exposure: ArrayLike | None = None,
) -> Trajectory:
    """Predict the colour of a strand after given processing times.

    Parameters
    ----------
    hair : Hair
        The strand; its array fields broadcast against `minutes`.
    mixture : Mixture
        What lies on it.
    minutes : array_like
        Processing time [min], within the domain of the mixture.
    curves : CurveSet, optional
        Default: the shipped set.
    values : mapping, optional
        Parameter values to use in place of the set's, arrays allowed (an ensemble's draws).
    prior_exposure : array_like, optional
        Exposure that earlier lightening amounts to [-], where it is known; default: found.

    Raises
    ------
    LiftError
        Outside the domain of the mixture: its times, developers, pH, temperatures and levels; for
        shapes that do not broadcast.

    Notes
    -----
    Rates are calibrated to common practice, not measured: see the curve set's provenance.

    Examples
    --------
    >>> strand = simulate(Hair(5), Mixture("cream", 20), [20, 40])
    >>> strand.lift.round(1).tolist()
    [1.3, 2.2]
    >>> strand.stage.tolist()
    ['orange', 'yellow-orange']
    """
    curves = curves or default_curves()
    values = curves.values if values is None else values
    if missing := sorted(curves.values.keys() - values.keys()):
        raise LiftError("simulate.lacks", count=len(missing), missing=missing[0])
    time = check_range(MINUTES.label, minutes, *MINUTES_RANGE, "min")
    check_domain(hair, mixture, time, curves)
    if prior_exposure is not None:
        prior_exposure = check_range(
            "course.prior_exposure", prior_exposure, 0.0, MAX_PRIOR_EXPOSURE
        )
    check_shapes(hair, mixture, minutes=time, prior_exposure=prior_exposure)
    return trajectory_of(hair, mixture, time, curves, values, prior_exposure)


def trajectory_of(
    hair: Hair,
    mixture: Mixture,
    time: Floats,
    curves: CurveSet,
    values: Values,
    prior: Floats | None = None,
    path: NaturalPath | None = None,
) -> Trajectory:
    """Like `simulate`, of what has been checked already; `path` is natural hair's, where known."""
    path = path or path_of(hair, curves, values)
    if prior is None:
        prior = exposure_before(hair, values, path)
    on = conditions_of(hair, mixture, time, values, prior)
    exposed = exposure(on, values)
    natural = hair_pigment(hair, values)
    pigment = lightened(natural, exposed, values)
    tone = tones_formed(on)
    underpigment = strand_lab(pigment, values)
    fibres = Fibres(underpigment, None, underpigment)
    if tone or np.any(np.asarray(hair.grey_percent) > 0.0):
        fibres = strand_fibres(
            pigment,
            values,
            tone=tone,
            grey_percent=hair.grey_percent,
            resistant_percent=hair.resistant_percent,
        )
    start = path.level_of_lightness(strand_lab(natural, values)[..., 0])
    lift = path.level_of_lightness(underpigment[..., 0]) - start
    # Grey and tone may bring axes of their own; every array gets the shape of the whole.
    shape = np.broadcast_shapes(lift.shape, fibres.blend.shape[:-1])
    lift = np.broadcast_to(lift, shape)
    pigmented, lab = (np.broadcast_to(c, (*shape, 3)) for c in (fibres.pigmented, fibres.blend))
    warmth = path.warmth(pigmented)
    return Trajectory(
        minutes=np.broadcast_to(time, shape),
        lab=lab,
        pigmented=pigmented,
        white=None if fibres.white is None else np.broadcast_to(fibres.white, (*shape, 3)),
        underpigment=np.broadcast_to(underpigment, (*shape, 3)),
        level=hair.level + lift,
        lift=lift,
        warmth=warmth,
        blend_warmth=warmth if fibres.white is None else path.warmth(lab),
        exposed=np.broadcast_to(path.warmth(underpigment), shape),
        exposure=np.broadcast_to(exposed, shape),
        pigment=pigment,
        tone=tone,
        curves=curves,
        values=values,
    )
