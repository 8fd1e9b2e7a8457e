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
from lift.practice.trial.look import LookTimes
from lift.practice.trial.strand_test import StrandTest
from lift.practice.window import Window
from lift.quantities import Lab
from lift.words import note


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


class Looks(Part):
    """When one more look tells most."""

    best_minutes: float
    best_gain: float
    soonest_minutes: float
    rinse_minutes: float
    reading: str
    reading_code: Code
    p_inside_now: float
    p_inside_at_best: float
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
    reading = note("look.by_eye" if looks.by_eye else "look.by_instrument")
    return Looks(
        best_minutes=looks.best_minutes,
        best_gain=rounded(looks.best_gain),
        soonest_minutes=looks.soonest_minutes,
        rinse_minutes=looks.rinse_minutes,
        **said(reading=reading),
        p_inside_now=rounded(looks.p_inside_now),
        p_inside_at_best=rounded(looks.p_inside_at_best),
        curve=GainCurve(rounded(looks.minutes), rounded(looks.gain), rounded(looks.p_inside)),
    )
