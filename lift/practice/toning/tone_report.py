"""What ``lift tone`` answers: direction, dose, other light, and how long it lasts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.doors import checked
from lift.errors import LiftError, check_choice
from lift.model.course import tone_formed
from lift.model.curves import CurveSet, default_curves
from lift.model.hair import LEVEL_RANGE, Hair
from lift.model.inverse import Inferred, infer_pigment
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.stages import LADDER_START, named_stage, underpigment_ladder
from lift.model.strand import Fibres, Pigment, lightened, natural_pigment
from lift.model.trajectory import simulate
from lift.optics.colorimetry import lab_tuple
from lift.optics.dyes import add_doses
from lift.optics.weights import PREPARED
from lift.practice.assumptions import SERVICE
from lift.practice.cautions import ALWAYS, cautions, in_order
from lift.practice.fibres import GreyLook, grey_look
from lift.practice.goal import parse_goal
from lift.practice.overprocessing import overprocessed
from lift.practice.tone import ToneDirection, tone_direction
from lift.practice.toning.carried import Carried, carried_and_outrun
from lift.practice.toning.fade import Fade, wash_fade
from lift.practice.toning.neutralise import Neutralisation, goal_colour, neutralise
from lift.practice.toning.other_light import OtherLight, other_light
from lift.practice.toning.partial import Partial, partial
from lift.practice.toning.rinsed import Rinsed
from lift.practice.toning.toner_step import TonerStep, toner_step
from lift.practice.wheel_and_dye import WheelAndDye, compare
from lift.quantities import (
    LEVEL_NOW,
    PROCESSED,
    WASHES_PER_WEEK,
    Lab,
    check_labs,
    quantities_of,
)
from lift.results import Result
from lift.words import Note

_GREY = ("grey_percent", "resistant_percent")

RED = replace(quantities_of(Hair)["pheomelanin_share"], several=False)

LIGHTENED_TO = replace(LEVEL_NOW, several=False)
"""Level on the ladder of stages."""


@checked
@dataclass(frozen=True, eq=False)
class Processed:
    """Hair under a mixture for some time, to be toned by what the mixture carries.

    Parameters
    ----------
    hair : Hair
        One strand before processing.
    mixture : Mixture
        What lies on it.
    minutes : float
        Processing time [min], more than 0.

    Examples
    --------
    >>> tone_report(Processed(Hair(7), Mixture("cream", 20), 20)).processed.minutes
    20
    """

    hair: Hair
    mixture: Mixture
    minutes: float

    def __post_init__(self) -> None:
        PROCESSED.number(self.minutes)


@dataclass(frozen=True, eq=False, repr=False)
class ToneReport(Result):
    """A hair colour, the goal, and everything about the tone between them.

    Parameters
    ----------
    lab : tuple of float
        CIELAB of the hair as seen (D65, 10 degrees), tone already in it included; of grey hair
        that of the blend.
    pigmented : tuple of float
        The same of its pigmented fibres: level, stage, warmth, direction and dose are theirs.
    grey : GreyLook or None
        Both kinds of fibres of grey hair before toning.
    goal : tuple of float or None
        CIELAB wanted; None for natural hair.
    direction : ToneDirection
        From `pigmented` to the goal; to natural hair of the same L* where no goal is given.
    answer : Neutralisation
        Dose and prediction, for the hair without any tone.
    light : OtherLight or None
        The toned hair under other lights; None when the hair's state is unknown.
    fades : mapping of str to Fade
        How each kind of tone lasts; empty when there is none.
    kind : str
        Kind of tone asked about.
    processed : Processed or None
        Where the hair is under a mixture: that.
    rinsed : Rinsed or None
        Where it was rinsed of one: what is known of it.
    carried : Carried or None
        Where the hair is under a mixture: what its own tone does through time.
    pheomelanin_share : float or None
        Share of pheomelanin of red hair [-]: warmth counts from natural hair of it.
    curves : CurveSet
        The curve set used.
    """

    lab: Lab
    pigmented: Lab
    grey: GreyLook | None
    goal: Lab | None
    direction: ToneDirection
    answer: Neutralisation
    light: OtherLight | None
    fades: Mapping[str, Fade]
    kind: str
    processed: Processed | None
    rinsed: Rinsed | None
    carried: Carried | None
    pheomelanin_share: float | None
    curves: CurveSet

    @property
    def warmth(self) -> float:
        """Warmth of the hair [dC*]."""
        return float(self.answer.path.warmth(np.array(self.pigmented)))

    @property
    def level(self) -> float:
        """Level of natural hair of the same L* [-]."""
        return float(self.answer.path.level_of_lightness(self.pigmented[0]))

    @property
    def stage(self) -> str:
        """Nearest stage; ``natural`` where no warmth shows."""
        return str(named_stage(np.array(self.pigmented), self.warmth, self.level, self.curves))

    @property
    def wanted(self) -> Lab:
        """CIELAB from which the pigmented fibres are counted, untoned and toned.

        It is the goal; where none is given, natural hair of the L* that toning ends with, or that
        the hair has where there is no tone.
        """
        if self.goal is not None:
            return self.goal
        same = np.add(self.pigmented, self.direction.change)
        return lab_tuple(self.answer.wanted if self.answer.tone else same)

    @cached_property
    def wheel_and_dye(self) -> WheelAndDye:
        """The direction, the wheel's answer to it, and what each dye of the palette does."""
        found = self.answer
        best = found.best if found.tone else replace(found.best, doses=0.0 * found.best.doses)
        return compare(
            found.pigment,
            found.alone,
            best,
            self.curves,
            found.goal,
            found.path,
            self.direction,
            found.in_hair,
        )

    @cached_property
    def partial(self) -> Partial | None:
        """How much goes for how little darkening; None where nothing or a colour is toned to."""
        return partial(self.answer) if self.answer.verdict.verdict == "reached" else None

    @property
    def toned(self) -> GreyLook | None:
        """Both kinds of fibres of grey hair with the answer's tone."""
        return self.answer.grey_at(1.0)

    @property
    def toner(self) -> TonerStep | None:
        """The answer as a toner of its own.

        None where no tone is needed or none reaches the goal, and for a mixture that carries tone:
        that is what `to_carry` is of.
        """
        if self.answer.verdict.verdict != "reached" or self._carries:
            return None
        colours = (self.answer.fibres_at(factor).pigmented for factor in (0.0, 1.0))
        path = self.answer.path
        before, after = (float(path.level_of_lightness(lab[0])) for lab in colours)
        doses, values = self.answer.tone, self.curves.values
        pure = SERVICE["pure_tone_dose"].value
        return toner_step(doses, self.kind, values, levels=(before, after), pure=pure)

    @property
    def _carries(self) -> bool:
        """Whether the hair is under a mixture that has tone in it."""
        if self.processed is None:
            return False
        tone = self.processed.mixture.properties(self.curves.values)["tone"]
        return any(dose > 0.0 for dose in tone.values())

    @property
    def formed(self) -> float:
        """Share of a carried tone that has formed by the processing time [-]; else 1."""
        if self.processed is None:
            return 1.0
        properties = self.processed.mixture.properties(self.curves.values)
        minutes = np.asarray(self.processed.minutes)
        return float(tone_formed(minutes, 1.0, properties["tone_minutes"]))

    @property
    def to_carry(self) -> dict[str, float]:
        """Dose that must be in the mixture for the answer to have formed by then, by dye."""
        return {dye: dose / self.formed for dye, dose in self.answer.tone.items()}

    @property
    def cautions(self) -> tuple[Note, ...]:
        """To be shown with the report."""
        if self.processed is None:
            return ALWAYS
        done = self.processed
        outside = self.curves.extrapolations(done.hair, done.mixture, done.minutes)
        bare = overprocessed(done.hair, done.mixture, self.level)
        always = cautions(done.mixture, done.minutes, done.hair, self.curves)
        return in_order((*bare, *outside, *always))


def tone_report(
    hair: Pigment | Processed | Rinsed | ArrayLike,
    goal: ArrayLike | None = None,
    palette: str | Iterable[str] | None = None,
    curves: CurveSet | None = None,
    *,
    kind: str = "permanent",
    washes_per_week: float = WASHES_PER_WEEK.default,
    grey_percent: float = 0.0,
    resistant_percent: float = 0.0,
    pheomelanin_share: float | None = None,
) -> ToneReport:
    """Answer a colour: direction, dose, other light, fading.

    `hair` is the state of one strand, hair under a mixture or rinsed of one, or a measured CIELAB,
    shape (3,); `goal` a CIELAB, shape (3,), by default natural hair. All dye bands are in the
    `palette` when none is given, and `kind` is one of `TONE_KINDS`. Of a state or a measured colour
    `grey_percent` of the fibres are white, `resistant_percent` of which take no tone, and a
    `pheomelanin_share` [-] is that of red hair; hair under a mixture, or rinsed, has its own.

    Examples
    --------
    >>> report = tone_report([56, 10, 30])
    >>> report.direction.wheel, report.stage
    ('violet', 'yellow')
    """
    curves = curves or default_curves()
    check_choice("fade.kind", kind, TONE_KINDS)
    WASHES_PER_WEEK.number(washes_per_week)
    processed = hair if isinstance(hair, Processed) else None
    after = hair if isinstance(hair, Rinsed) else None
    grey: dict[str, Any] = dict(zip(_GREY, (grey_percent, resistant_percent), strict=True))
    carried, red = None, pheomelanin_share
    if isinstance(hair, Processed | Rinsed):
        if grey_percent or resistant_percent:
            raise LiftError("toning.own_grey")
        if red is not None:
            raise LiftError("toning.own_red")
        red = hair.hair.pheomelanin_share
        grey = {name: float(getattr(hair.hair, name)) for name in _GREY}
    if isinstance(hair, Processed):
        trajectory = simulate(hair.hair, hair.mixture, hair.minutes, curves)
        carried = carried_and_outrun(hair.hair, hair.mixture, curves)
        state: Pigment | Inferred = trajectory.pigment
        fibres = Fibres(trajectory.pigmented, trajectory.white, trajectory.lab)
    elif isinstance(hair, Rinsed):
        state = hair.state
    else:
        state = hair if isinstance(hair, Pigment) else _inferred(hair, curves, grey_percent, red)
    red = None if red is None else RED.number(red)
    in_hair = {} if after is None else after.in_hair
    path = natural_path(curves, red)
    answer = neutralise(state, goal, palette, curves, path=path, in_hair=in_hair, **grey)
    if processed is None:
        fibres = answer.fibres_at(0.0)
        if answer.inferred is not None:
            measured, pigmented = answer.inferred.lab, answer.inferred.pigmented
            fibres = Fibres(pigmented, fibres.white, measured)
    known = answer.verdict.verdict != "not_lightened"
    pigmented = fibres.pigmented
    same = answer.path.lab_of_lightness(pigmented[0])
    wanted = same if answer.goal is None else answer.goal
    return ToneReport(
        lab=lab_tuple(fibres.blend),
        pigmented=lab_tuple(pigmented),
        grey=grey_look(fibres, **grey, curves=curves, path=answer.path),
        goal=None if answer.goal is None else lab_tuple(answer.goal),
        direction=tone_direction(pigmented, wanted, curves),
        answer=answer,
        light=light_of(answer, red) if known else None,
        fades={
            name: wash_fade(
                answer.pigment,
                answer.tone,
                curves,
                kind=name,
                washes_per_week=washes_per_week,
                path=answer.path,
                in_hair=in_hair,
                **grey,
            )
            for name in TONE_KINDS
            if answer.tone
        },
        kind=kind,
        processed=processed,
        rinsed=after,
        carried=carried,
        pheomelanin_share=red,
        curves=curves,
    )


def light_of(
    answer: Neutralisation,
    pheomelanin_share: float | None = None,
    *,
    factor: float = 1.0,
    lights: Iterable[str] = PREPARED,
) -> OtherLight:
    """See an answer's hair under other lights, at a multiple of its dose [-]."""
    laid = {dye: dose * factor for dye, dose in answer.tone.items()}
    return other_light(
        answer.pigment,
        add_doses(laid, answer.in_hair),
        answer.curves,
        lights=lights,
        pheomelanin_share=pheomelanin_share,
        grey_percent=answer.grey_percent,
        resistant_percent=answer.resistant_percent,
    )


def _inferred(lab: ArrayLike, curves: CurveSet, grey_percent: float, red: float | None) -> Inferred:
    measured = check_labs(lab, "tone.hair")
    return infer_pigment(measured, curves, grey_percent=grey_percent, pheomelanin_share=red)


def underpigment_state(level: float, curves: CurveSet, red: float | None = None) -> Pigment:
    """State of deep black hair lightened to a level [1 to 10], between the rungs of the ladder.

    With a share of pheomelanin `red` [-] it is the darkest red hair in place of black.
    """
    values, ladder, to = curves.values, underpigment_ladder(curves), LIGHTENED_TO.number(level)
    if red is not None:
        darkest = Hair(level=LEVEL_RANGE[0], pheomelanin_share=red, lightened_to=to)
        return simulate(darkest, Mixture(volume=0.0), 0.0, curves).pigment
    exposure = np.interp(to, ladder.levels, ladder.exposure)
    natural = natural_pigment(LADDER_START, values["pheomelanin_share"], values)
    return lightened(natural, exposure, values)


def goal_lab(text: str, curves: CurveSet, red: float | None = None) -> Lab:
    """Read a goal for toning: a level means natural hair of it; a warmth allowance is refused.

    Natural hair is that of the `red` share of pheomelanin [-], by default brown and blond.
    """
    goal = parse_goal(text)
    if getattr(goal, "warmth", None) is not None:
        raise LiftError("toning.goal_form", value=text)
    colour = goal_colour(goal, curves, natural_path(curves, red))
    if colour is None:
        raise LiftError("toning.goal_form", value=text)
    return lab_tuple(colour)
