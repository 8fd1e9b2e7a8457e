"""Next visit: how the regrowth shows as it widens, and when the base needs breaking again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, check_range
from lift.model.curves import CurveSet
from lift.model.natural import path_of
from lift.optics.colorimetry import delta_e_2000, mean_lab
from lift.practice.inside import first_crossing
from lift.practice.scenario.scenario import Scenario
from lift.practice.schedule.solve import colour_now, natural_colour
from lift.practice.service.outcome import Outcome, part_lab
from lift.quantities import Lab
from lift.results import Result
from lift.words import Note, note

USUAL_MM = (12.0, 25.0)
"""Regrowth of a refresh client [mm]: common practice (no source)."""

WEEKS = np.arange(0.0, 20.01, 0.5)


def regrowth_mm(weeks: ArrayLike, growth_mm_per_day: float = 0.35) -> Floats:
    """Length grown [mm] since the service [weeks], any shape; growth [mm/day] of Vogt et al."""
    growth = check_range("plan.growth", growth_mm_per_day, 0.05, 1.0, "mm/day")
    return check_range("plan.time", weeks, 0.0, 520.0, "weeks") * 7.0 * growth


def weeks_of_regrowth(length_mm: ArrayLike, growth_mm_per_day: float = 0.35) -> Floats:
    """Time in which a length grows [weeks], any shape; inverse of `regrowth_mm`."""
    growth = check_range("plan.growth", growth_mm_per_day, 0.05, 1.0, "mm/day")
    return check_range("plan.regrowth", length_mm, 0.0, 1500.0, "mm") / (7.0 * growth)


def viewing_field_mm(distance_mm: float, field_deg: float) -> float:
    """Width on the head over which the eye averages [mm]: a field angle seen from a distance."""
    return float(2.0 * distance_mm * np.tan(np.radians(0.5 * field_deg)))


@dataclass(frozen=True, eq=False)
class Demarcation:
    """How the regrowth of one part shows against the hair it grows from under.

    Over `weeks` since the service and widths `band_mm` [mm], shape (n,): CIEDE2000 of regrowth and
    hair beside it, however narrow the band (`side_by_side`), and as `seen` along a parting, where
    the eye averages over its field. The base is broken again when that reaches `limit`: then the
    time [weeks] and the regrowth [mm] are `due_weeks` and `due_mm`, None where not by the end.
    """

    part: str
    weeks: Floats
    band_mm: Floats
    side_by_side: Floats
    seen: Floats
    limit: float
    due_weeks: float | None
    due_mm: float | None

    @property
    def finding(self) -> Note:
        """When the base needs breaking again, to be said in a sentence."""
        if self.due_weeks is None or self.due_mm is None:
            weeks = float(self.weeks[-1])
            return note("plan.visit.none_due", part=self.part, limit=self.limit, weeks=weeks)
        return note(
            "plan.visit.due",
            part=self.part,
            weeks=self.due_weeks,
            regrowth=self.due_mm,
            limit=self.limit,
        )


def demarcation(
    part: str,
    treated: Floats,
    natural: Floats,
    weeks: Floats,
    band_mm: Floats,
    field_mm: float,
    limit: float,
) -> Demarcation:
    """Contrast of a band of natural hair against treated hair as it widens.

    The eye averages over its field, `field_mm` wide, linearly in what is reflected. Along a
    parting regrowth shows on both sides, so a band of width w fills ``2 w / field`` of it, until
    it fills all. CIELAB of the treated hair has shape (n, 3) or (3,), that of the natural (3,);
    times [weeks] and widths [mm] have shape (n,).
    """
    treated = np.broadcast_to(treated, (weeks.size, 3))
    share = np.minimum(2.0 * band_mm / field_mm, 1.0)
    both = np.stack(np.broadcast_arrays(natural, treated))
    averaged = mean_lab(both, weights=np.stack([share, 1.0 - share]))
    seen = delta_e_2000(averaged, treated)
    due = first_week(weeks, seen - limit)
    return Demarcation(
        part=part,
        weeks=weeks,
        band_mm=band_mm,
        side_by_side=delta_e_2000(natural, treated),
        seen=seen,
        limit=limit,
        due_weeks=due,
        due_mm=None if due is None else float(np.interp(due, weeks, band_mm)),
    )


def first_week(weeks: Floats, margin: Floats) -> float | None:
    """First time at which a margin is above 0 [weeks]; None when it never is."""
    at = float(first_crossing(weeks, margin))
    return at if np.isfinite(at) else None


@dataclass(frozen=True)
class ToneLimit:
    """What hair is held to as its tone washes out: what its goal asked for.

    Where a colour is `wanted`, CIELAB, it is the distance from that [dE00]; else warmth [dC*].
    """

    most: float
    wanted: Lab | None

    @property
    def note(self) -> Note:
        """The limit, to be said."""
        return note(f"plan.tone.{'dc' if self.wanted is None else 'de'}", most=self.most)

    def passed(self, done: Outcome, pigmented: Floats) -> Floats:
        """By how much pigmented fibres of some CIELAB are past it, shape (...)."""
        if self.wanted is None:
            return path_of(done.work.zone.hair, done.work.curves).warmth(pigmented) - self.most
        return delta_e_2000(pigmented, np.array(self.wanted)) - self.most


@dataclass(frozen=True, eq=False, repr=False)
class NextVisit(Result):
    """All that decides the next visit, over `weeks` since the service, shape (n,).

    A demarcation for each part at the scalp, white fibres and all, as the eye sees it; for each
    treated zone that carries tone, the warmth of its pigmented fibres as the tone washes out
    [dC*], shape (n,), what that washing is held to, and when it passes that [weeks], None where not
    within the weeks shown. In `usual_weeks` grows the usual regrowth of a refresh
    client, 12 to 25 mm.
    """

    demarcations: tuple[Demarcation, ...]
    tone_warmth: Mapping[str, Floats]
    tone_limits: Mapping[str, ToneLimit]
    tone_passes: Mapping[str, float | None]
    weeks: Floats
    usual_weeks: tuple[float, float]

    @property
    def due_weeks(self) -> float | None:
        """When the first part is due [weeks]; None: not within the weeks shown."""
        due = [d.due_weeks for d in self.demarcations if d.due_weeks is not None]
        return min(due, default=None)

    @property
    def findings(self) -> tuple[Note, ...]:
        """The findings, each to be said in a sentence."""
        found = [d.finding for d in self.demarcations]
        for name, passes in self.tone_passes.items():
            limit = self.tone_limits[name]
            said = {"limit": limit.note}
            if passes is None:
                when = note("plan.tone.stays", **said, weeks=float(self.weeks[-1]))
            elif passes <= 0.0:
                when = note("plan.tone.from_start", **said)
            elif passes < 1.0:
                when = note("plan.tone.first_week", **said)
            else:
                when = note("plan.tone.after", **said, weeks=passes)
            what = note("plan.tone.warmth" if limit.wanted is None else "plan.tone.away")
            found.append(note("plan.tone", zone=name, what=what, when=when))
        low, high = self.usual_weeks
        return (
            *found,
            note("plan.visit.usual", mm_low=USUAL_MM[0], mm_high=USUAL_MM[1], low=low, high=high),
        )


def next_visit(
    scenario: Scenario,
    outcomes: Mapping[str, Outcome],
    curves: CurveSet,
    weeks: Floats = WEEKS,
) -> NextVisit:
    """Follow the regrowth and the tone through the weeks after a service.

    Zones with ``regrowth_mm`` are at the scalp.
    """
    values = scenario.values
    often, growth = values["washes_per_week"], values["growth_mm_per_day"]
    before = {z.name: np.array(colour_now(z, curves)) for z in scenario.zones}
    natural = {z.name: np.array(natural_colour(z, curves)) for z in scenario.zones}
    after = {name: done.fibres_after(weeks, often) for name, done in outcomes.items()}
    colours = {
        name: np.broadcast_to(after[name].blend if name in after else lab, (weeks.size, 3))
        for name, lab in before.items()
    }
    at_scalp = {z.part for z in scenario.zones if z.regrowth_mm is not None}
    field = viewing_field_mm(values["viewing_distance_mm"], values["viewing_field_deg"])
    band = regrowth_mm(weeks, growth)
    toned = {
        name: np.broadcast_to(
            path_of(done.work.zone.hair, curves).warmth(after[name].pigmented), weeks.shape
        )
        for name, done in outcomes.items()
        if done.carries_tone
    }
    limits = {name: tone_limit(outcomes[name]) for name in toned}
    low, high = (float(weeks_of_regrowth(mm, growth)) for mm in USUAL_MM)
    return NextVisit(
        demarcations=tuple(
            demarcation(
                part,
                part_lab(scenario, part, colours, before),
                part_lab(scenario, part, natural, natural),
                weeks,
                band,
                field,
                values["demarcation_limit"],
            )
            for part in scenario.parts
            if part in at_scalp
        ),
        tone_warmth=toned,
        tone_limits=limits,
        tone_passes={
            name: first_week(weeks, np.broadcast_to(past, weeks.shape))
            for name, limit in limits.items()
            for past in [limit.passed(outcomes[name], after[name].pigmented)]
        },
        weeks=weeks,
        usual_weeks=(low, high),
    )


def tone_limit(done: Outcome) -> ToneLimit:
    """What a zone is held to as its tone washes out: the same as at its rinse.

    Where its goal is a colour, that is how far from it still passes for it; else how warm it may
    be. A toner makes hair no warmer than its goal welcomes, so it is not asked for more.
    """
    target, curves = done.work.target, done.work.curves
    if target.wanted is not None:
        return ToneLimit(target.tolerance, target.wanted)
    limit = target.warmth_limit
    return ToneLimit(
        limit if np.isfinite(limit) else float(curves.values["warmth_allowance"]), None
    )
