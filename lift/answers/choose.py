"""Answer of a choice."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import CurveSetPart, curve_set_part, rounded, said
from lift.answers.strand_parts import HairPart, goal_parts, hair_fields
from lift.practice.choosing.choose import Choice
from lift.practice.choosing.options import Option
from lift.practice.target import Target
from lift.quantities import Lab


class GoalPart(Part):
    """A goal made definite."""

    goal: str
    goal_code: Code
    intent: str
    goal_level: float | None
    goal_lab: Lab | None
    tolerance: float | None
    toned: bool
    warmth_limit: float | None


class ChooseInputs(HairPart):
    """The hair, and what could be chosen."""

    mixtures: list[str]
    max_volume: float
    powder: bool | None


class OptionPart(Part):
    """One way to meet a goal.

    `mixture` is null where nothing is mixed; `parts` are its developers [vol] and their parts.
    Doses are in 0.01 absorption per fibre radius, `before` and `after` toning are CIELAB (D65, 10
    degrees) of the expected strand at the best minute; `risk` goes wrong first, at `p_risk`.
    """

    mixture: str | None
    volume: float | None
    developer_parts: float | None
    parts: list[tuple[float, int]]
    tone: dict[str, float]
    minutes: dict[str, float]
    p_inside: float
    p_met: float
    slack: float
    before: Lab
    level: float
    after: Lab
    level_after: float
    toner: dict[str, float]
    risk: str
    p_risk: float
    look_at: float


class SittingPart(Part):
    """One of several sittings: the level it starts from, its goal and its way."""

    level: float
    goal: GoalPart
    option: OptionPart


class ChooseAnswer(Part):
    """Ways to meet a goal, the best first."""

    inputs: ChooseInputs
    goal: GoalPart
    reached: bool
    options: list[OptionPart]
    sittings: list[SittingPart]
    tried: int
    p_now: float
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def answer(choice: Choice) -> ChooseAnswer:
    """Answer of a choice."""
    allowed = choice.allowed
    return ChooseAnswer(
        inputs=ChooseInputs(
            **hair_fields(choice.hair, choice.curves),
            mixtures=list(allowed.mixtures),
            max_volume=allowed.max_volume,
            powder=allowed.powder,
        ),
        goal=_goal(choice.target),
        reached=choice.reached,
        options=[option_part(each) for each in choice.options],
        sittings=[
            SittingPart(
                level=each.hair.level_now,
                goal=_goal(each.target),
                option=option_part(each.option),
            )
            for each in choice.sittings
        ],
        tried=choice.tried,
        p_now=rounded(choice.p_now),
        **said(cautions=choice.cautions),
        curve_set=curve_set_part(choice.curves),
    )


def _goal(target: Target) -> GoalPart:
    return GoalPart(**goal_parts(target))


def option_part(option: Option) -> OptionPart:
    """Describe one way."""
    mixture, developer = option.mixture, option.developer
    times = {"from": option.rinse_from, "best": option.best, "until": option.rinse_until}
    return OptionPart(
        mixture=None if mixture is None else mixture.kind,
        volume=None if developer is None else rounded(developer.volume),
        developer_parts=None if mixture is None else rounded(mixture.developer_parts),
        parts=[] if developer is None else list(developer.parts),
        tone={dye: rounded(dose) for dye, dose in option.tone.items()},
        minutes={name: rounded(minutes) for name, minutes in times.items()},
        p_inside=rounded(option.p_inside),
        p_met=rounded(option.p_met),
        slack=rounded(option.slack),
        before=rounded(option.before),
        level=rounded(option.level),
        after=rounded(option.after),
        level_after=rounded(option.level_after),
        toner={dye: rounded(dose) for dye, dose in option.toner.items()},
        risk=option.risk,
        p_risk=rounded(option.p_risk),
        look_at=rounded(option.look_at),
    )
