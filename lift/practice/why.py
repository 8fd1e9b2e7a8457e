"""Why a band is as wide as it is: how much is this head, how much is what nobody has measured."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model import misfit
from lift.model.ensemble import LATENT, apply_latent
from lift.model.trajectory import trajectory_of
from lift.practice.preview import Preview

QUANTITIES = ("level", "warmth")
MOST_CAUSES = 4
LEAST_SHARE = 0.05
"""Of the spread by what nobody measured: a number that moves less of it is not named."""


@dataclass(frozen=True)
class Parts:
    """One quantity at the asked time.

    Parameters
    ----------
    of_head, unmeasured, whole : tuple of float
        Low and high end of 90 % of the strands [levels or dC*]: this head alone under the central
        curve set; the expected strand under every draw; both.
    head_share : float
        Share of the variance that is this head's [-], 0 to 1.
    """

    of_head: tuple[float, float]
    unmeasured: tuple[float, float]
    whole: tuple[float, float]
    head_share: float


@dataclass(frozen=True)
class Why:
    """The bands at the asked time, in parts.

    Parameters
    ----------
    level, warmth : Parts
        Of the level now and of the warmth.
    causes : tuple of (str, float)
        Parameters that the warmth follows most where it varies with what nobody measured, and the
        share of that spread which goes with each [-]: the square of Spearman's rank correlation.
    """

    level: Parts
    warmth: Parts
    causes: tuple[tuple[str, float], ...]


def why(result: Preview) -> Why:
    """Take the bands of a preview apart.

    Examples
    --------
    >>> from lift import Hair, Mixture, preview
    >>> found = why(preview(Hair(7, "fine", damp=True), Mixture("base-break", 10), 5))
    >>> low, high = found.warmth.whole
    >>> bool(low < high and 0.0 < found.warmth.head_share < 1.0)
    True
    """
    latent = result.drawn.latent
    unmeasured = np.arange(len(LATENT)) == LATENT.index("unmeasured")
    head = _at(result, np.where(unmeasured, 0.0, latent))
    rest = _at(result, np.where(unmeasured, latent, latent.mean(axis=0)))
    parts = {
        name: _parts(head[name], rest[name], getattr(result.drawn.members, name)[:, -1])
        for name in QUANTITIES
    }
    return Why(**parts, causes=_causes(result, rest["warmth"]))


def _at(result: Preview, latent: Floats) -> dict[str, Floats]:
    hair, values = apply_latent(result.hair, result.curves, latent)
    minutes = np.array([result.minutes])
    strands = trajectory_of(hair, result.mixture, minutes, result.curves, values)
    return {name: getattr(strands, name)[:, 0] for name in QUANTITIES}


def _parts(head: Floats, rest: Floats, whole: Floats) -> Parts:
    def ends(values: Floats) -> tuple[float, float]:
        low, high = np.percentile(values, [5.0, 95.0])
        return float(low), float(high)

    both = float(np.var(head) + np.var(rest))
    share = float(np.var(head)) / both if both > 0.0 else 1.0
    return Parts(ends(head), ends(rest), ends(whole), share)


def _causes(result: Preview, warmth: Floats) -> tuple[tuple[str, float], ...]:
    posterior = result.curves.posterior
    if posterior is None or np.ptp(warmth) < 1e-9:
        return ()
    drawn = posterior.drawn(result.curves.values, result.drawn.latent[:, -1])
    names = [name for name in posterior.names if name not in misfit.NAMES]
    table = np.stack([drawn[name] for name in names])
    ranks = np.argsort(np.argsort(np.vstack([table, warmth]), axis=1), axis=1)
    follows = np.nan_to_num(np.atleast_2d(np.corrcoef(ranks))[-1, :-1] ** 2)
    most = np.argsort(-follows)[:MOST_CAUSES]
    return tuple((names[i], float(follows[i])) for i in most if follows[i] >= LEAST_SHARE)
