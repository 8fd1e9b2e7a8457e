"""Tone of a visit: what a zone looks like now, what it is toned towards, and which dose answers it.

What was seen goes before what is predicted. A zone without a mixture is toned as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.domain import longest_minutes
from lift.model.inverse import Inferred
from lift.model.natural import path_of
from lift.model.strand import strand_lab, strand_reflectance
from lift.optics.adaptation import lab_under
from lift.optics.colorimetry import NOTICEABLE, delta_e_2000, lab_tuple
from lift.optics.dyes import add_doses
from lift.practice.goal import Lighten
from lift.practice.scenario.scenario import Toner, Zone
from lift.practice.schedule.solve import blonde_lab
from lift.practice.target import lightened_lab
from lift.practice.toning.fade import Fade, wash_fade
from lift.practice.toning.neutralise import goal_colour
from lift.practice.toning.other_light import SALON_LIGHTS, OtherLight
from lift.practice.toning.rinsed import Rinsed, rinsed
from lift.practice.toning.tone_report import ToneReport, light_of, tone_report
from lift.practice.toning.toner_step import TonerStep, toner_step
from lift.practice.toning.verdict import goal_is_lighter
from lift.practice.trial.observation import observation
from lift.practice.visit.marks import marked_minutes
from lift.practice.visit.visit import Visit
from lift.quantities import Lab
from lift.words import Note, note

FACTORS = tuple(np.linspace(0.0, 2.0, 17).tolist())
"""Multiples of the best dose that are looked at: from none to double, an eighth apart [-]."""

BEST = FACTORS.index(1.0)

ANSWERS = ("none", "blends", "tone", "nearest")
"""What toning does for a zone: nothing to do, nothing that shows, it meets the goal, or it does not
and this is the nearest."""


@dataclass(frozen=True)
class Wanted:
    """What a zone is toned towards.

    Parameters
    ----------
    name : Note
        In a few words, to follow "towards".
    lab : tuple of float or None
        CIELAB; None: natural hair as light as it ends.
    tolerance : float
        Difference from it that still passes [dE00].
    edge : bool
        Whether that is an edge between hair, which shows or does not.
    instead_of : Note or None
        What was wanted, where it is lighter than the hair: no tone lightens.
    """

    name: Note
    lab: Lab | None
    tolerance: float
    edge: bool = False
    instead_of: Note | None = None


@dataclass(frozen=True, eq=False)
class ZoneTone:
    """The tone of one zone of a visit.

    `pure` is the dose that a pure tone leaves undiluted [0.01 absorption per fibre radius], `grams`
    what covers the zone [g], None where nobody has said; `light` one of ``SALON_LIGHTS``.
    """

    zone: Zone
    wanted: Wanted
    report: ToneReport
    light: str
    pure: float
    grams: float | None
    washes_per_week: float

    @property
    def answer(self) -> str:
        """One of `ANSWERS`."""
        found = self.report.answer
        if found.verdict.verdict == "none_needed":
            return "none"
        if self.wanted.edge and found.before <= self.wanted.tolerance:
            return "blends"
        if not self.worth:
            return "nearest"
        met = found.verdict.verdict == "reached" or (
            self.wanted.lab is not None and found.residual <= self.wanted.tolerance
        )
        return "tone" if met else "nearest"

    @property
    def worth(self) -> bool:
        """Whether the best dose makes a difference that is noticed."""
        found = self.report.answer
        return bool(found.tone) and found.before - found.residual >= NOTICEABLE

    def doses(self, factor: float) -> dict[str, float]:
        """Dose of each dye at a multiple of the best [0.01 absorption per fibre radius]."""
        return {dye: dose * factor for dye, dose in self.report.answer.tone.items()}

    def step(self, factor: float) -> TonerStep | None:
        """The toner at a multiple of the best dose; None where nothing is laid on."""
        path = self.report.answer.path
        fibres = (self.report.answer.fibres_at(f).pigmented for f in (0.0, factor))
        before, after = (float(path.level_of_lightness(lab[0])) for lab in fibres)
        return toner_step(
            self.doses(factor),
            self.report.kind,
            self.report.curves.values,
            levels=(before, after),
            grams=self.grams,
            pure=self.pure,
        )

    @property
    def chosen(self) -> float:
        """Multiple of the best dose that the zone's toner has, of those looked at; 0: none.

        Where none was chosen yet it is the best dose, or none where nothing is to be done.
        """
        laid = self.zone.laid_on
        if self.zone.toner is None:
            return 0.0
        if not self.worth:
            return 0.0
        if laid is None or laid.doses is None:
            return 1.0 if self.answer == "tone" else 0.0
        factor = sum(laid.doses.values()) / self.report.answer.amount
        return float(min(FACTORS, key=lambda each: abs(each - factor)))

    def labs(self, light: str) -> Floats:
        """CIELAB at each of `FACTORS` as an eye sees it that is used to a light, shape (n, 3)."""
        answer = self.report.answer
        seen = strand_reflectance(
            answer.pigment,
            self.report.curves.values,
            tone=add_doses(
                {dye: dose * np.array(FACTORS) for dye, dose in answer.tone.items()},
                answer.in_hair,
            ),
            grey_percent=answer.grey_percent,
            resistant_percent=answer.resistant_percent,
        )
        lab = lab_under(seen, SALON_LIGHTS[light])
        return np.broadcast_to(lab, (len(FACTORS), 3))

    def under(self, light: str, factor: float) -> OtherLight:
        """The hair under a light, at a multiple of the best dose, beside natural hair there."""
        lights = (SALON_LIGHTS[light],)
        share = self.report.pheomelanin_share
        return light_of(self.report.answer, share, factor=factor, lights=lights)

    def fades(self, factor: float) -> Fade | None:
        """How its kind of tone washes out, at a multiple of the best dose; None without one."""
        answer, kind = self.report.answer, self.report.kind
        if not self.doses(factor) or factor == 0.0:
            return None
        return wash_fade(
            answer.pigment,
            self.doses(factor),
            self.report.curves,
            kind=kind,
            washes_per_week=self.washes_per_week,
            grey_percent=answer.grey_percent,
            resistant_percent=answer.resistant_percent,
            path=answer.path,
            in_hair=answer.in_hair,
        )


def zone_tone(
    visit: Visit,
    name: str,
    curves: CurveSet,
    *,
    seen: str | None = None,
    light: str | None = None,
) -> ZoneTone:
    """Find the tone of a zone.

    Parameters
    ----------
    visit : Visit
        The zone's hair, goal, mixture and what was done with it.
    name : str
        Zone.
    curves : CurveSet
        Curve set.
    seen : str, optional
        What it looks like now, as typed: a level or a CIELAB. Default: what came out of it, else
        what is predicted.
    light : str, optional
        One of ``SALON_LIGHTS``; default: the salon's.

    Raises
    ------
    LiftError
        For an unknown zone, and for a level seen that is darker than the hair was before.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.practice.visit.visit_table import visit_of
    >>> foils = {"name": "foils", "natural_level": 6, "goal": "tone"}
    >>> visit = visit_of({"visit": {"name": "a"}, "zones": [foils]})
    >>> found = zone_tone(visit, "foils", default_curves(), seen="9")
    >>> found.answer, found.report.direction.wheel, found.step(1.0).clear
    ('tone', 'violet', 21.0)
    """
    scenario = visit.scenario
    zone = scenario.zone(name)
    now = hair_now(visit, zone, curves, seen)
    wanted = within_reach(wanted_of(visit, zone, curves), _colour(now, curves))
    laid, often = zone.laid_on or Toner(), scenario.values["washes_per_week"]
    report = tone_report(
        now,
        wanted.lab,
        None,
        curves,
        kind=laid.kind,
        washes_per_week=often,
    )
    placement = zone.placement
    return ZoneTone(
        zone=zone,
        wanted=wanted,
        report=report,
        light=light or scenario.salon.light or "daylight",
        pure=scenario.values["pure_tone_dose"],
        grams=placement.sections * placement.grams_per_section if zone.treated else None,
        washes_per_week=often,
    )


def hair_now(visit: Visit, zone: Zone, curves: CurveSet, seen: str | None = None) -> Rinsed:
    """What a zone's hair is now: as seen, as it came out, as predicted, or as it was before."""
    result = visit.result_of(zone.name)
    typed = seen if seen is not None else None if result is None else result.seen
    told = None if typed is None else observation(0.0, typed)
    look = zone.colour if told is None else told.level if told.lab is None else told.lab
    minutes = minutes_on(visit, zone, curves)
    if minutes is None or not zone.treated:
        return rinsed(zone.hair, None, 0.0, curves, look)
    return rinsed(zone.hair, visit.scenario.mixture_on(zone), minutes, curves, look)


def minutes_on(visit: Visit, zone: Zone, curves: CurveSet) -> float | None:
    """How long its mixture was on a zone's hair [min], or will be; None where that is open.

    Of a zone in sections it is that of the middle of them. Past the domain of the mixture nothing
    is predicted: it counts as its end.
    """
    open_ = visit.scenario.to_choose.get(zone.mixture or "", ())
    if not zone.treated or open_:
        return None
    done = marked_minutes(visit, zone)
    found = zone.minutes if done is None else done
    if found is None:
        return None
    return min(found, longest_minutes(visit.scenario.mixture_on(zone), curves))


def within_reach(wanted: Wanted, hair: Floats) -> Wanted:
    """What pigmented fibres of a colour, CIELAB of shape (3,), can be toned towards.

    Where they are darker than what is wanted, and that shows, it is natural hair as light as they
    end instead.
    """
    lab = wanted.lab
    if lab is None or not goal_is_lighter(hair, np.array(lab)):
        return wanted
    if float(delta_e_2000(hair, lab)) <= wanted.tolerance:
        return wanted
    natural = note("tone.towards.natural")
    return Wanted(natural, None, wanted.tolerance, instead_of=wanted.name)


def wanted_of(visit: Visit, zone: Zone, curves: CurveSet) -> Wanted:
    """What a zone is to look like once it is toned, by its goal.

    A blend is toned towards the hair it blends with, a match to its colour. Hair that was lightened
    is toned to natural hair of the level that was to be reached; where nothing is named, to natural
    hair as light as it ends.
    """
    values, path = visit.scenario.values, path_of(zone.hair, curves)
    goal, match = zone.goal.goal, zone.goal.match
    tolerance = getattr(goal, "tolerance", None)
    meets = values["goal_tolerance"] if tolerance is None else tolerance
    edge = values["blend_limit"] if tolerance is None else tolerance
    natural = Wanted(note("tone.towards.natural"), None, meets)
    if match is not None:
        which, other = match
        lab = _blonde_of(visit, visit.scenario.zone(other), which, curves)
        named = note("tone.towards.zone", which=which, zone=other)
        return Wanted(named, lab, edge, edge=True)
    if getattr(goal, "warmth", None) is not None or (isinstance(goal, Lighten) and goal.open):
        return natural
    if isinstance(goal, Lighten):
        lab = lab_tuple(path.lab_of_level(goal.to_level))
        return Wanted(note("tone.towards.level", level=goal.to_level), lab, meets)
    level: float | None = getattr(goal, "level", None)
    if goal.intent == "blend" and level is not None:
        lab = lab_tuple(lightened_lab(zone.hair, level, curves))
        return Wanted(note("tone.towards.lightened", level=level), lab, edge, edge=True)
    asked = goal_colour(goal, curves, path)
    if asked is None:
        return natural
    if level is not None:
        return Wanted(note("tone.towards.level", level=level), lab_tuple(asked), meets)
    blend = goal.intent == "blend"
    named = note("tone.towards.colour")
    return Wanted(named, lab_tuple(asked), edge if blend else meets, edge=blend)


def _blonde_of(visit: Visit, other: Zone, which: str, curves: CurveSet) -> Lab:
    """Blonde of another zone, as it was declared, or its hair as it is now and is to be toned."""
    declared = other.darkest if which == "darkest" else other.lightest
    if declared is not None:
        return blonde_lab(declared, curves)
    now = hair_now(visit, other, curves)
    laid = other.laid_on
    return lab_tuple(_colour(now, curves, None if laid is None else laid.doses))


def _colour(now: Rinsed, curves: CurveSet, laid: Mapping[str, float] | None = None) -> Floats:
    """CIELAB of the pigmented fibres, with what is in the hair and what is laid on, shape (3,)."""
    state = now.state.pigment if isinstance(now.state, Inferred) else now.state
    return strand_lab(state, curves.values, tone=add_doses(now.in_hair, laid or {}))
