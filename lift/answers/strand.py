"""Answer of a strand test."""

from __future__ import annotations

from typing import Any, Literal, cast

from lift.answers.encode import Code, Part
from lift.answers.parts import (
    CurveSetPart,
    curve_set_part,
    rounded,
    said,
)
from lift.answers.preview import At, at
from lift.answers.strand_parts import Asked, WindowPart, asked, window_part
from lift.model.ensemble import LATENT
from lift.practice.preview import Preview
from lift.practice.trial.look import Look, LookTimes
from lift.practice.trial.strand_test import StrandTest
from lift.practice.window import Window
from lift.quantities import Lab
from lift.words import Note, note

READ = {
    "eye": "look.by_eye",
    "swatch": "look.by_swatch",
    "photograph": "look.by_photograph",
    "instrument": "look.by_instrument",
}


class StrandInputs(Asked):
    """What was asked of the strand, as of a preview, with the planned rinse."""

    rinse_minutes: float


class Seen(Part):
    """One observation, and what a look at its time was expected to tell."""

    minutes: float
    level: float | None
    lab: Lab | None
    sd: list[float]
    expected_gain: float
    verdict: Literal["useful", "weak", "useless"]


class Deviates(Part):
    """Posterior of the strand's deviates, in standard deviations of the prior."""

    mean: dict[str, float]
    sd: dict[str, float]
    effective_size: float
    rounds: int
    log_evidence: float
    fit_chance: float | None


class State(Part):
    """Outcome at the rinse time, and the window."""

    at: At
    window: WindowPart


class GainCurve(Part):
    """Expected gain of a look by its time [min]."""

    minutes: list[float]
    gain: list[float]
    p_inside: list[float]
    p_ahead: list[float]


class LookPart(Part):
    """One look: in time on hair laid with the rest, or on a strand laid `ahead` of it [min]."""

    minutes: float
    ahead: float
    gain: float
    p_inside: float
    tells: bool


class By(Part):
    """Who else could read, on which natural levels' swatches, and what each look would tell."""

    reading: str
    reading_code: Code
    natural_levels: list[float] | None
    same: LookPart | None
    ahead: LookPart | None


class Looks(Part):
    """When one more look tells most of those that can serve, and what a strand ahead would tell.

    `serves` are the first and the last such time; where there is none, it and the best are null.
    """

    best_minutes: float | None
    best_gain: float | None
    soonest_minutes: float | None
    rinse_minutes: float
    act_by: float
    reading: str
    reading_code: Code
    p_inside_now: float
    p_inside_at_best: float | None
    serves: tuple[float, float] | None
    tells: bool
    same: LookPart | None
    ahead: LookPart | None
    curve: GainCurve


class StrandAnswer(Part):
    """A strand before and after it was looked at."""

    inputs: StrandInputs
    observations: list[Seen]
    posterior: Deviates | None
    before: State
    after: State
    looks: Looks
    next_look: Looks
    by: list[By]
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def answer(test: StrandTest) -> StrandAnswer:
    """Answer of a strand test."""
    before = test.before
    seen = zip(test.observations, test.gains, test.verdicts, strict=True)
    return StrandAnswer(
        inputs=StrandInputs(
            **asked(before.hair, before.mixture, test.target, before.curves),
            rinse_minutes=before.minutes,
        ),
        observations=[
            Seen(o.minutes, o.level, o.lab, rounded(o.sd), rounded(gain), cast(Any, verdict))
            for o, gain, verdict in seen
        ],
        posterior=_deviates(test),
        before=_state(before, test.windows[0]),
        after=_state(test.after, test.windows[1]),
        looks=_looks(test.looks),
        next_look=_looks(test.next_look),
        by=[_by(looks, test) for looks in test.others],
        **said(cautions=test.cautions),
        curve_set=curve_set_part(before.curves),
    )


def _deviates(test: StrandTest) -> Deviates | None:
    found = test.posterior
    if found is None:
        return None
    return Deviates(
        mean=dict(zip(LATENT, rounded(found.mean), strict=True)),
        sd=dict(zip(LATENT, rounded(found.sd), strict=True)),
        effective_size=rounded(found.effective_size),
        rounds=found.rounds,
        log_evidence=rounded(found.log_evidence),
        fit_chance=rounded(test.fit_chance),
    )


def _state(result: Preview, window: Window) -> State:
    return State(at(result), window_part(window, result.advice))


def _looks(looks: LookTimes) -> Looks:
    same, best, times = looks.same, looks.best, looks.minutes[looks.serves]
    return Looks(
        best_minutes=None if best is None else best.minutes,
        best_gain=None if best is None else rounded(best.gain),
        soonest_minutes=None if same is None else same.minutes,
        rinse_minutes=looks.rinse_minutes,
        act_by=looks.act_by,
        **said(reading=_read(looks)),
        p_inside_now=rounded(looks.p_inside_now),
        p_inside_at_best=None if best is None else rounded(best.p_inside),
        serves=(float(times[0]), float(times[-1])) if times.size else None,
        tells=same is not None and same.tells,
        same=_look(same),
        ahead=_look(looks.ahead),
        curve=GainCurve(*map(rounded, (looks.minutes, looks.gain, looks.p_inside, looks.p_ahead))),
    )


def _look(look: Look | None) -> LookPart | None:
    if look is None:
        return None
    chances = rounded(look.gain), rounded(look.p_inside)
    return LookPart(look.minutes, look.ahead, *chances, look.tells)


def _by(looks: LookTimes, test: StrandTest) -> By:
    look = looks.advised
    beside = list(test.swatches(look.minutes)) if look and looks.reading == "swatch" else None
    return By(
        **said(reading=_read(looks)),
        natural_levels=beside,
        same=_look(looks.same),
        ahead=_look(looks.ahead),
    )


def _read(looks: LookTimes) -> Note:
    return note(READ[looks.reading])
