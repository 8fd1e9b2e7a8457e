"""Strand test: what was seen on a trial strand, and how it moves window and risk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from lift.errors import Floats, LiftError, check_choice, check_number
from lift.model.curves import CurveSet, default_curves
from lift.model.domain import check_domain
from lift.model.ensemble import LATENT, check_one_strand, draw_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.posterior import DRAWS, MEMBERS, Posterior, sample_posterior
from lift.practice.cautions import cautions, in_order
from lift.practice.goal import Goal, usual_goal
from lift.practice.overprocessing import overprocessed
from lift.practice.preview import Preview, preview
from lift.practice.target import Target, resolve_goal
from lift.practice.trial.contradiction import refuse_contradictions, refuse_misfit
from lift.practice.trial.look import LookTimes, look_times
from lift.practice.trial.observation import READINGS, Observation, residuals
from lift.practice.window import LIMIT_MINUTES, Window, find_window
from lift.quantities import RINSE
from lift.results import Result
from lift.words import LAST_LEVEL, Note

SEED = 20
MOST_OBSERVATIONS = 50


@dataclass(frozen=True, eq=False, repr=False)
class StrandTest(Result):
    """A strand before and after it was looked at.

    Parameters
    ----------
    observations : tuple of Observation
        What was seen; empty when only the time to look was asked.
    gains : tuple of float
        Share [-] of the variance at the rinse time that each look was expected to take away.
    verdicts : tuple of str
        For each look ``useful``, ``weak`` or ``useless``, by its share of the best gain.
    posterior : Posterior or None
        Weighted draws of the strand's deviates; None without observations.
    fit_chance : float or None
        Chance that a strand of this hair fits as badly as the observations do [-].
    before, after : Preview
        At the rinse time, with the prior and with the posterior's members; the same when nothing
        was observed.
    looks : LookTimes
        Expected gain by time of the look, before anything was seen.
    next_look : LookTimes
        The same for one more look.
    others : tuple of LookTimes
        The same for who reads more finely, where the next look would not tell in time.
    cautions : tuple of str
        To be shown with the result.
    """

    observations: tuple[Observation, ...]
    gains: tuple[float, ...]
    verdicts: tuple[str, ...]
    posterior: Posterior | None
    fit_chance: float | None
    before: Preview
    after: Preview
    looks: LookTimes
    next_look: LookTimes
    others: tuple[LookTimes, ...]
    cautions: tuple[Note, ...]

    @property
    def latent(self) -> Floats:
        """Equally weighted deviates for ``find_window`` and ``preview``, shape (members, 5)."""
        return self.after.drawn.latent

    @property
    def quantity(self) -> str:
        """What the goal is about: ``lift`` when it is relative to the hair, else ``level``."""
        return "level" if self.target.lift is None else "lift"

    @property
    def target(self) -> Target:
        """The goal made definite; a strand test has one."""
        assert self.before.target is not None
        return self.before.target

    @property
    def windows(self) -> tuple[Window, Window]:
        """Window before and after."""
        before, after = self.before.window, self.after.window
        assert before is not None
        assert after is not None
        return before, after

    def swatches(self, minutes: float) -> tuple[float, float]:
        """Natural levels, half a level apart, between which hair is expected at a time [min]."""
        central = self.after.drawn.central
        grid, lightness = central.minutes[:-1], central.pigmented[:-1, 0]
        path = natural_path(self.before.curves)
        level = float(path.level_of_lightness(np.interp(minutes, grid, lightness)))
        darker = min(max(np.floor(2.0 * level) / 2.0, 1.0), LAST_LEVEL - 0.5)
        return float(darker), float(darker) + 0.5

    def width(self, quantity: str) -> tuple[float, float]:
        """Width of the band nine strands in ten keep to at the rinse time, before and after.

        Parameters
        ----------
        quantity : str
            ``level``, ``lift`` or ``warmth``.
        """
        low, _, high = self.before.band_at(quantity)
        low_after, _, high_after = self.after.band_at(quantity)
        return float(high - low), float(high_after - low_after)


def strand_test(
    hair: Hair,
    mixture: Mixture,
    observations: Sequence[Observation] = (),
    goal: Goal | None = None,
    curves: CurveSet | None = None,
    *,
    rinse_minutes: float | None = None,
    reading: str | None = None,
    members: int = MEMBERS,
    seed: int = SEED,
) -> StrandTest:
    """Update this strand's curve with what was seen, or find when to look.

    The deviates of `lift.model.ensemble.LATENT` get their posterior by adaptive importance
    sampling; readings err by `EYE_SD`, or by `INSTRUMENT_SD` and `MODEL_SD` together.

    Parameters
    ----------
    observations : sequence of Observation
        What was seen; may be empty.
    goal : Goal, optional
        Default: what the mixture usually means, which must not be open.
    rinse_minutes : float, optional
        Time asked about [min], 0 to 120; default: the first that is nearly as
        likely inside the window as the best, before the test.
    reading : str, optional
        How the next look is taken, one of ``lift.practice.trial.observation.READINGS``; default:
        as the last of the observations, or by eye.
    members : int
        Size of the equally weighted ensembles.

    Raises
    ------
    LiftError
        When an observation contradicts what any strand of this hair can show, or too few draws
        carry the posterior.

    Examples
    --------
    >>> from lift import Hair, Mixture, Observation, strand_test
    >>> from lift.practice.goal import Lighten
    >>> seen = [Observation(15, level=7)]
    >>> strand_test(Hair(5), Mixture("powder", 20), seen, Lighten(8)).verdicts
    ('useful',)
    """
    check_one_strand(hair, mixture)
    curves = curves or default_curves()
    check_number("strand_test.count", len(observations), 0, MOST_OBSERVATIONS)
    seen = tuple(observations)
    first = seen[-1].reading if seen else "eye"
    by = first if reading is None else check_choice("look.reading", reading, READINGS)
    goal = goal or usual_goal(mixture)
    act_by = None if rinse_minutes is None else RINSE.number(rinse_minutes)
    check_domain(hair, mixture, act_by or 0.0, curves)
    resolve_goal(goal, hair, curves)  # an open goal has no time to rinse at
    rinse = act_by
    if rinse is None:
        rinse = _time_to_rinse(find_window(hair, mixture, goal, curves, members=members))

    before = preview(hair, mixture, rinse, goal, curves, members=members, seed=seed)
    after, posterior, chance = before, None, None
    if seen:
        refuse_contradictions(hair, mixture, seen, curves, draw_latent(DRAWS, seed))
        posterior = _posterior_or_misfit(hair, mixture, seen, curves, seed)
        off = residuals(hair, mixture, seen, curves, posterior.draws)
        chance = refuse_misfit(seen, off, posterior.draws)
        latent = posterior.resample(members, seed)
        after = preview(hair, mixture, rinse, goal, curves, latent=latent)

    last = max((o.minutes for o in seen), default=0.0)
    until = max(LIMIT_MINUTES, last)
    assert before.window is not None
    assert after.window is not None
    looks_by = partial(look_times, hair, mixture, curves=curves, act_by=act_by, until=until)
    looks = {
        reading: looks_by(before.drawn, before.window, reading=reading)
        for reading in {by, *(o.reading for o in seen)}
    }
    next_look = looks[by]
    # What was looked at past the rinse was no hair of this service: all its times are to come.
    looked = last if last < next_look.act_by else 0.0
    more = partial(looks_by, after.drawn, after.window, looked=looked)
    if seen:
        next_look = more(reading=next_look.reading)
    others: tuple[LookTimes, ...] = ()
    if not next_look.settled and not (next_look.same and next_look.same.tells):
        finer = [*READINGS][[*READINGS].index(next_look.reading) + 1 :]
        others = tuple(more(reading=reading) for reading in finer)
    looked_last = max(last, next_look.advised.minutes if next_look.advised else 0.0)
    return StrandTest(
        observations=seen,
        gains=tuple(looks[o.reading].at(o.minutes) for o in seen),
        verdicts=tuple(looks[o.reading].verdict(o.minutes) for o in seen),
        posterior=posterior,
        fit_chance=chance,
        before=before,
        after=after,
        looks=looks[by],
        next_look=next_look,
        others=others,
        cautions=in_order(
            (
                *overprocessed(hair, mixture, after.drawn.members.level[:, -1]),
                *before.extrapolates,
                *cautions(mixture, max(rinse, looked_last), hair, curves),
            )
        ),
    )


def _posterior_or_misfit(
    hair: Hair, mixture: Mixture, seen: tuple[Observation, ...], curves: CurveSet, seed: int
) -> Posterior:
    try:
        return posterior_of(hair, mixture, seen, curves, seed=seed)
    except LiftError:
        # What fits no strand leaves next to no posterior, and can still be named.
        drawn = draw_latent(DRAWS, seed)
        refuse_misfit(seen, residuals(hair, mixture, seen, curves, drawn), drawn)
        raise


def posterior_of(
    hair: Hair,
    mixture: Mixture,
    observations: Sequence[Observation],
    curves: CurveSet,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Posterior:
    """Posterior of the strand's deviates, with Gaussian reading errors.

    Parameters
    ----------
    observations : sequence of Observation
        At least one.
    curves : CurveSet
        Its ``*_sd`` parameters are the prior.
    draws, seed : int
        Draws in each round of sampling, and seed.

    Returns
    -------
    Posterior
        Dimensions as in ``lift.model.ensemble.LATENT``.

    Raises
    ------
    LiftError
        When too few draws carry the posterior.
    """

    def log_likelihood(latent: Floats) -> Floats:
        off = residuals(hair, mixture, observations, curves, latent)
        return np.asarray(-0.5 * np.sum(off**2, axis=1))

    return sample_posterior(log_likelihood, len(LATENT), draws=draws, seed=seed)


def _time_to_rinse(window: Window) -> float:
    """First time that is nearly as likely to be inside as the best: no more lift than is needed.

    Where nothing ever is inside, when the goal is met, or else when the strand is too warm.
    """
    if window.p_best > 0.0:
        return window.best_minutes
    times = (t for t in (window.reached_at, window.too_warm_at) if t is not None)
    return next(times, float(window.minutes[-1]))
