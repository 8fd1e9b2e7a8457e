"""Ensemble: the strands that this hair could turn out to be."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import Floats, LiftError, check_choice, check_number, check_range
from lift.model import misfit
from lift.model.course import RATES, paced
from lift.model.curves import CurveSet, Values, default_curves
from lift.model.domain import check_domain
from lift.model.few_times import simulate_many_times
from lift.model.frozen import trusted
from lift.model.hair import FIBRE_RANGE, LEVEL_RANGE, Hair
from lift.model.mixture import Mixture
from lift.model.stages import named_stage, stage_names
from lift.model.trajectory import MINUTES_RANGE, Trajectory, trajectory_of
from lift.quantities import COVERAGE, MINUTES, check_seed
from lift.quantities import MEMBERS as MEMBERS_ASKED
from lift.results import Result
from lift.words import note

OF_HEAD = ("level", "rate", "fibre", "fade")
LATENT = (*OF_HEAD, "unmeasured")
"""What is not known, each a standard normal deviate: of this head, from strand to strand; and of
the numbers that nobody measured, which draw of the curve set's posterior."""

BANDED = ("lab", "pigmented", "white", "underpigment", "level", "lift", "warmth", "blend_warmth")

MEMBERS = 160
SEED = 20
LATTICE_ROOT = 1.1673039782614187
OWN_STEP = np.e - 2.0


@checked
@dataclass(frozen=True, eq=False, repr=False)
class Ensemble(Result):
    """Trajectories of all members.

    Parameters
    ----------
    members : Trajectory
        Arrays of shape (members, times).
    central : Trajectory
        The expected strand, arrays of shape (times,).
    latent : numpy.ndarray
        Standard normal deviates, shape (members, 5), columns as in `LATENT`.

    Examples
    --------
    >>> strands = ensemble(Hair(5), Mixture("cream", 20), [20.0, 40.0], members=50)
    >>> strands.members.lift.shape, strands.central.lift.shape
    ((50, 2), (2,))
    """

    members: Trajectory
    central: Trajectory
    latent: Floats

    def band(
        self, quantity: str, coverage: float = 0.9, at: int | None = None
    ) -> tuple[Floats, Floats, Floats]:
        """Low end, median and high end of a quantity's central band over the members.

        Parameters
        ----------
        quantity : str
            One of `BANDED`; ``white`` only of grey hair.
        coverage : float
            Share of the members inside the band [-], 0.01 to 0.99.
        at : int, optional
            Index of the only time wanted; default: all times, shape (times,) or (times, 3).
        """
        tail = 50.0 * (1.0 - COVERAGE.check(coverage))
        known = [name for name in BANDED if getattr(self.members, name) is not None]
        values = getattr(self.members, check_choice("ensemble.quantity", quantity, known))
        values = values if at is None else values[:, self._index(at)]
        low, median, high = np.percentile(values, [tail, 50.0, 100.0 - tail], axis=0)
        return low, median, high

    def up_to(self, count: int) -> Ensemble:
        """Return the ensemble with only its first `count` times."""
        return Ensemble(self.members.up_to(count), self.central.up_to(count), self.latent)

    def stage_chances(self, at: int) -> dict[str, float]:
        """Share of members [-] at each stage at the time of index `at`, from dark to light.

        Examples
        --------
        >>> strands = ensemble(Hair(5), Mixture("cream", 20), [0.0, 20.0])
        >>> strands.stage_chances(0)
        {'natural': 1.0}
        """
        now, at = self.members, self._index(at)
        names = named_stage(
            now.underpigment[:, at], now.exposed[:, at], now.level[:, at], now.curves
        )
        shares = {name: float(np.mean(names == name)) for name in stage_names()}
        return {name: share for name, share in shares.items() if share > 0.0}

    def _index(self, at: int) -> int:
        count = self.members.minutes.shape[-1]
        return int(check_number("ensemble.at", at, -count, count - 1))

    def probability_too_warm(self, allowance: float) -> Floats:
        """Share of members whose warmth exceeds `allowance` [dC*], shape (times,)."""
        limit = check_number("ensemble.allowance", allowance, -200.0, 200.0, "dC*")
        return np.asarray(np.mean(self.members.warmth > limit, axis=0))


@lru_cache(maxsize=8)
def draw_latent(members: int = MEMBERS, seed: int = SEED) -> Floats:
    """Evenly spread standard normal deviates, shape (members, 5), read-only.

    Each column has one deviate in every 1/members of probability, and the columns together
    follow a lattice, so that small ensembles give smooth probabilities: against 8192 Sobol
    points, 160 members are off by 0.006 (rms of the probabilities of six services), as 300 that
    are stratified at random are.

    Parameters
    ----------
    members : int
        Number of members, 2 to 100000.
    seed : int
        Seed; the same seed gives the same members.

    Raises
    ------
    LiftError
        For a number of members outside the range.

    Notes
    -----
    The lattice is the additive recurrence of the powers of 1/1.167..., the root of x^5 = x + 1:
    M. Roberts, The unreasonable effectiveness of quasirandom sequences, 2018 (from memory).
    """
    # scipy's would do, but loading it takes a third of the time of a whole preview.
    from statistics import NormalDist

    members = int(MEMBERS_ASKED.number(members))
    shift = np.random.default_rng(check_seed(seed)).random(len(LATENT))
    # The fifth power would follow the fourth (x^-5 = 1 - x^-4); e does not.
    steps = np.append(LATTICE_ROOT ** -np.arange(1.0, len(OF_HEAD) + 1.0), OWN_STEP)
    points = np.mod(np.arange(members)[:, None] * steps + shift, 1.0)
    strata = points.argsort(axis=0).argsort(axis=0)
    quantile = NormalDist().inv_cdf
    ordered: Floats = np.array([quantile((k + 0.5) / members) for k in range(members)])
    deviates: Floats = ordered[strata]
    deviates.setflags(write=False)
    return deviates


def check_latent(latent: ArrayLike) -> Floats:
    """Deviates that are used in place of a draw, checked, shape (members, 5)."""
    deviates = check_range("ensemble.latent", latent, -10.0, 10.0)
    _check_shape(deviates)
    return deviates


def _check_shape(deviates: Floats) -> None:
    if deviates.ndim != 2 or deviates.shape[1] != len(LATENT) or not len(deviates):
        raise LiftError("ensemble.latent_shape", shape=deviates.shape)


def apply_latent(hair: Hair, curves: CurveSet, latent: ArrayLike) -> tuple[Hair, Values]:
    """Hair and parameter values of each member.

    Where the curve set has a posterior, each member gets one of its draws, all numbers of a draw
    belonging together; where the last deviate is 0, the central values.

    Parameters
    ----------
    hair : Hair
        As judged; single numbers, as `ensemble` sees to.
    curves : CurveSet
        Central values, spread and posterior.
    latent : array_like
        Standard normal deviates, shape (members, 5); a row of zeros is the expected strand, with
        the central values.

    Returns
    -------
    Hair, mapping
        With arrays of shape (members, 1).

    Raises
    ------
    LiftError
        When the deviates have another shape.
    """
    deviates = np.asarray(latent, dtype=np.float64)
    _check_shape(deviates)
    level_z, rate_z, fibre_z, fade_z, draw_z = deviates.T[:, :, None]
    values = curves.values
    if curves.posterior is not None:
        values = {**values, **curves.posterior.drawn(values, draw_z)}
    off = values["level_sd"] * level_z
    changes: dict[str, Any] = {
        "level": np.clip(hair.level + off, *LEVEL_RANGE),
        "fibre_um": np.clip(hair.fibre_um * np.exp(values["fibre_log_sd"] * fibre_z), *FIBRE_RANGE),
    }
    if hair.lightened_to is not None:
        gained = hair.lightened_to - hair.level
        changes["lightened_to"] = np.clip(changes["level"] + gained, 1.0, 12.0)
    fade = values["fade_minutes"] * np.exp(values["fade_log_sd"] * fade_z)
    paced_values = paced(values, np.exp(values["rate_log_sd"] * rate_z))
    return trusted(hair, **changes), {**paced_values, "fade_minutes": fade}


def ensemble(
    hair: Hair,
    mixture: Mixture,
    minutes: ArrayLike,
    curves: CurveSet | None = None,
    *,
    members: int = MEMBERS,
    seed: int = SEED,
    latent: ArrayLike | None = None,
) -> Ensemble:
    """Simulate every member.

    Parameters
    ----------
    hair : Hair
        The hair as judged; single numbers.
    mixture : Mixture
        What lies on it; single numbers.
    minutes : array_like
        Processing times [min], shape (times,).
    curves : CurveSet, optional
        Default: the shipped set; its ``*_sd`` parameters give the spread.
    members, seed : int
        Size and seed of the draw.
    latent : array_like, optional
        Deviates to use in place of a draw (a strand test's posterior), shape (members, 5).

    Raises
    ------
    LiftError
        When hair or mixture hold arrays, or a value is out of range or of the mixture's domain.

    Examples
    --------
    >>> strands = ensemble(Hair(5), Mixture("cream", 20), [20.0, 40.0])
    >>> low, median, high = strands.band("lift")
    >>> bool((low < median).all() and (median < high).all())
    True
    >>> strands.probability_too_warm(10.0).shape
    (2,)
    """
    curves = curves or default_curves()
    times = np.atleast_1d(check_range(MINUTES.label, minutes, *MINUTES_RANGE, "min"))
    if times.ndim != 1:
        raise LiftError("ensemble.times", shape=times.shape)
    check_one_strand(hair, mixture)
    check_domain(hair, mixture, times, curves)
    deviates = draw_latent(members, seed) if latent is None else check_latent(latent)
    varied_hair, values = apply_latent(hair, curves, deviates)
    strand, own_curves = (hair, curves) if latent is None else expected_strand(hair, curves, latent)
    return Ensemble(
        simulate_many_times(varied_hair, mixture, times, curves, values),
        trajectory_of(strand, mixture, times, own_curves, own_curves.values),
        deviates,
    )


def expected_strand(hair: Hair, curves: CurveSet, latent: ArrayLike) -> tuple[Hair, CurveSet]:
    """Strand at the mean of the deviates, as one hair and one curve set.

    Level, diameter, rates and fade are the expected strand's. What a posterior varies goes as far
    from the central values as the deviates, of shape (members, 5), moved the median of its draws:
    deviates that say nothing move nothing.
    """
    deviates = np.asarray(latent, dtype=np.float64)
    mean = np.mean(deviates, axis=0, keepdims=True)
    mean[:, LATENT.index("unmeasured")] = 0.0
    middle = curves
    if curves.posterior is not None:
        moved: dict[str, Any] = {**_moved(curves, deviates[:, -1])}
        middle = curves.replace(name=curves.name, **moved)
    varied, values = apply_latent(hair, middle, mean)
    names = ["level", "fibre_um"] + ["lightened_to"] * (hair.lightened_to is not None)
    own = {name: getattr(varied, name).item() for name in names}
    rate = curves["lightening_rate"]
    expected = {name: np.asarray(values[name]).item() for name in (*RATES, "fade_minutes")}
    changed = middle.replace(
        name=curves.name,
        status=rate.status,
        source=f"{rate.source}; of one strand, after its strand test",
        **expected,
    )
    return trusted(hair, **own), changed


def _moved(curves: CurveSet, deviates: Floats) -> dict[str, float]:
    """Central values times what the median of the draws was multiplied by, within their ranges."""
    assert curves.posterior is not None
    drawn = curves.posterior.drawn(curves.values, deviates)
    moved = {}
    for name in curves.posterior.names:
        if name in misfit.NAMES:  # the expected strand has none
            continue
        central, before = curves[name], float(np.median(curves.posterior.column(name)))
        # Where a deviate is 0 the draw is the central value, and stands for no move.
        unmoved = np.where(deviates == 0.0, central.value, before)
        middle = float(np.median(unmoved))
        factor = np.median(drawn[name]) / middle if middle else 1.0
        moved[name] = float(np.clip(central.value * factor, central.low, central.high))
    return moved


def check_one_strand(*things: Hair | Mixture) -> None:
    """Refuse hair and mixtures that hold arrays, where one strand is asked about."""
    for thing in things:
        what = type(thing).__name__.lower()
        for name in (f.name for f in fields(thing) if f.init):
            if isinstance(getattr(thing, name), np.ndarray):
                raise LiftError("ensemble.one_strand", what=note(f"ensemble.{what}"), name=name)
