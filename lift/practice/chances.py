"""Chances: how likely each strand of a head is inside a goal, minute by minute, by mixture."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from lift.errors import Floats
from lift.model.course import conditions_of, tones_formed
from lift.model.curves import CurveSet, Values
from lift.model.domain import longest_minutes
from lift.model.ensemble import apply_latent
from lift.model.few_times import simulate_many_times
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import NaturalPath, path_of
from lift.model.strand import hair_pigment, lightened, strand_lab
from lift.model.trajectory import Trajectory, exposure_before
from lift.practice.inside import (
    Crossings,
    crossings,
    first_crossing,
    margin_crossings,
    pigment_margin,
)
from lift.practice.target import Target
from lift.practice.window import NEARLY_BEST, rinse_times, time_grid

HANDS_MINUTES = 1.0
"""How late a rinse may come although it was begun in time: all sections are at the basin in a
minute (assumed)."""

SOONEST_MINUTES = 2.0
"""No rinse is planned sooner: laying alone takes as long (assumed)."""

TABLE_NODES = 28
"""Exposures at which toning is computed once for all mixtures: it depends on nothing else."""


@dataclass(frozen=True, eq=False)
class Strands:
    """The strands that one head could turn out to be, the expected one first.

    Arrays of `hair` and `values` have shape (1 + members, 1); `prior` is the exposure that earlier
    lightening amounts to [-], of that shape.
    """

    hair: Hair
    values: Values
    path: NaturalPath
    prior: Floats
    curves: CurveSet

    def course(self, mixture: Mixture, minutes: Floats) -> Trajectory:
        """Course under a mixture, shape (1 + members, times)."""
        return simulate_many_times(
            self.hair, mixture, minutes, self.curves, self.values, self.prior, self.path
        )


def strands_of(hair: Hair, curves: CurveSet, latent: Floats) -> Strands:
    """Strands of a head, from deviates of shape (members, 5)."""
    deck = np.concatenate([np.zeros((1, latent.shape[1])), latent])
    # White fibres decide nothing: what is asked is asked of the pigmented ones.
    varied, values = apply_latent(hair.replace(grey_percent=0.0), curves, deck)
    path = path_of(varied, curves, values)
    prior = np.broadcast_to(exposure_before(varied, values, path), (len(deck), 1))
    return Strands(varied, values, path, prior, curves)


@dataclass(frozen=True, eq=False)
class Chance:
    """How likely strands are inside under one mixture.

    Parameters
    ----------
    mixture : Mixture
        What lies on them.
    carried : mapping of str to float
        Dose of each dye that it carries [0.01 absorption per fibre radius].
    target : Target
        The goal made definite, with a toner or without.
    minutes : numpy.ndarray
        Time grid up to what is usual for the mixture [min], shape (n,).
    each : Crossings
        When each strand reaches the goal and passes it [min], shape (1 + members,).
    level : numpy.ndarray
        Level of each strand [-], shape (1 + members, n).
    p_inside : numpy.ndarray
        Share of the members that are inside, shape (n,).
    """

    mixture: Mixture
    carried: Mapping[str, float]
    target: Target
    minutes: Floats
    each: Crossings
    level: Floats
    p_inside: Floats

    @property
    def toned(self) -> bool:
        """Whether a toner follows."""
        return self.target.toned

    @cached_property
    def p_met(self) -> Floats:
        """Share inside at a rinse that may come a little late, shape (n,); 0 before the soonest."""
        late = np.interp(self.minutes + HANDS_MINUTES, self.minutes, self.p_inside)
        met = np.minimum(self.p_inside, late)
        return np.where(self.minutes >= SOONEST_MINUTES, met, 0.0)

    @property
    def best(self) -> int:
        """Index of the soonest time that is nearly as good as any."""
        return int(np.argmax(self.p_met >= NEARLY_BEST * self.p_met.max()))

    @property
    def p_best(self) -> float:
        """Chance at that time, a late rinse counted [-]."""
        return float(self.p_met[self.best])

    @property
    def rinse(self) -> tuple[float, float, float]:
        """From when, best and until when to rinse [min]."""
        return rinse_times(self.minutes, self.p_inside, self.best)


class Chances:
    """Chances of a head's strands to be inside a goal, by mixture; see `chance`.

    What does not depend on the mixture is computed once: natural hair, what was done before, and
    toning, which depends on exposure alone.
    """

    def __init__(self, strands: Strands, limit_minutes: float) -> None:
        self.strands = strands
        self.limit_minutes = limit_minutes
        self._tables: dict[Target, tuple[Floats, Floats]] = {}

    def minutes(self, mixture: Mixture) -> Floats:
        """Times that a mixture is usually left on [min]."""
        usual = mixture.chemistry.bound("minutes").usual_high
        longest = longest_minutes(mixture, self.strands.curves)
        return time_grid(min(self.limit_minutes, max(usual, 1.0), longest))

    def chance(self, mixture: Mixture, target: Target) -> Chance:
        """Chance under one mixture."""
        minutes = self.minutes(mixture)
        course = self.strands.course(mixture, minutes)
        if target.toned and not course.tone:
            each = self._toned(course, minutes, target)
        else:
            each = crossings(course, minutes, target)
        return self._tally(mixture, target, minutes, each, course.level)

    def carried(
        self, mixture: Mixture, tones: Iterable[dict[str, float]], target: Target
    ) -> list[Chance]:
        """Chance under a mixture for each tone that it may carry: the pigment is lost alike."""
        minutes = self.minutes(mixture)
        bare = self.strands.course(mixture.replace(tone={}), minutes)
        found = []
        for tone in tones:
            other = mixture.replace(tone=tone)
            formed = tones_formed(
                conditions_of(self.strands.hair, other, minutes, self.strands.values)
            )
            lab = strand_lab(bare.pigment, self.strands.values, tone=formed) if tone else bare.lab
            shown = replace(
                bare, lab=lab, pigmented=lab, warmth=self.strands.path.warmth(lab), tone=formed
            )
            each = crossings(shown, minutes, target)
            found.append(self._tally(other, target, minutes, each, bare.level))
        return found

    def _tally(
        self, mixture: Mixture, target: Target, minutes: Floats, each: Crossings, level: Floats
    ) -> Chance:
        reached, passed = each.reached[1:, None], each.passed[1:, None]
        p = np.mean((minutes >= reached) & (minutes < passed), axis=0)
        carried = mixture.properties(self.strands.curves.values)["tone"]
        return Chance(mixture, carried, target, minutes, each, level, p)

    def _toned(self, course: Trajectory, minutes: Floats, target: Target) -> Crossings:
        """Crossings of toned strands, read off a table over exposure."""
        gained = course.exposure - self.strands.prior
        # What holds no oxidant exposes nothing: its table has a span all the same.
        nodes, margin = self._table(target, max(float(gained.max()), 1e-6))
        at = np.clip(gained, 0.0, nodes[-1])
        right = np.clip(np.searchsorted(nodes, at), 1, nodes.size - 1)
        share = (at - nodes[right - 1]) / (nodes[right] - nodes[right - 1])
        low = np.take_along_axis(margin, right - 1, axis=1)
        high = np.take_along_axis(margin, right, axis=1)
        light = first_crossing(minutes, course.level - target.past_level)
        above = course.level > target.level
        return margin_crossings((1.0 - share) * low + share * high, minutes, light, above)

    def _table(self, target: Target, span: float) -> tuple[Floats, Floats]:
        known = self._tables.get(target)
        if known is not None and known[0][-1] >= span:
            return known
        # Room for the next, stronger mixture.
        nodes = 1.5 * span * np.linspace(0.0, 1.0, TABLE_NODES) ** 1.5
        strands = self.strands
        natural = hair_pigment(strands.hair, strands.values)
        pigment = lightened(natural, strands.prior + nodes, strands.values)
        self._tables[target] = nodes, pigment_margin(pigment, strands.values, target)
        return self._tables[target]
