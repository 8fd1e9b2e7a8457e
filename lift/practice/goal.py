"""Goals by intent: what hair is to become, one small type each, and how each is typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lift.doors import checked
from lift.errors import LiftError, check_choice
from lift.model.frozen import store
from lift.model.stages import NATURAL, STAGE_OF_LEVEL, stage_names
from lift.quantities import Lab, check_fields, check_lab, quantity
from lift.words import LAST_LEVEL, note

if TYPE_CHECKING:
    from lift.model.mixture import Mixture

INTENTS = ("blend", "lighten", "match", "tone")


def _stages() -> tuple[str, ...]:
    """Stages that can be reached, from dark to light."""
    return tuple(name for name in stage_names() if name != NATURAL)


def _level() -> Any:
    return quantity(name="goal_level", low=1.0, high=LAST_LEVEL, step=0.1)


def _warmth() -> Any:
    return quantity(
        name="warmth_allowance", low=0.0, high=60.0, unit="dC*", step=0.5, file="warmth"
    )


def _tolerance() -> Any:
    return quantity(
        name="goal_tolerance", low=0.5, high=30.0, unit="dE00", step=0.5, file="tolerance"
    )


@checked
@dataclass(frozen=True)
class Blend:
    """Soften hair until its edge to named hair no longer shows; or, with none named, stay natural.

    Parameters
    ----------
    level : float, optional
        Level of the hair to blend with [-]: this client's own hair, lightened to it; with `warmth`,
        any hair of that level and warmth.
    warmth : float, optional
        Warmth of that hair [dC*]; without a level, the warmth above natural hair that is still
        welcome, by default the curve set's.
    lab : tuple of float, optional
        Measured CIELAB of the hair to blend with (D65, 10 degrees).
    tolerance : float, optional
        Difference from which an edge shows [dE00]; default: the assumed ``blend_limit``.

    Raises
    ------
    LiftError
        For values out of range, or level and lab both given.

    Examples
    --------
    >>> Blend(level=7.6).named
    True
    """

    level: float | None = _level()
    warmth: float | None = _warmth()
    lab: Lab | None = None
    tolerance: float | None = _tolerance()
    intent = "blend"

    def __post_init__(self) -> None:
        _check(self)
        if self.lab is not None and self.warmth is not None:
            raise LiftError("goal.lab_warmth")

    @property
    def named(self) -> bool:
        """Whether it names the hair to blend with."""
        return self.level is not None or self.lab is not None


@checked
@dataclass(frozen=True)
class Lighten:
    """Reach a level or a stage, then tone; or, with a warmth, stay as lightened.

    Parameters
    ----------
    level : float, optional
        Level to reach [-]: a toner is to bring the hair to natural hair of that level.
    stage : str, optional
        Stage in place of a level; one of the ladder's names.
    warmth : float, optional
        Warmth that is still welcome [dC*]: nothing tones the hair then.
    tolerance : float, optional
        Difference from the wanted colour that still passes for it [dE00]; default: the assumed
        ``goal_tolerance``.

    With neither level nor stage it is open: an answer tells what lightening passes.

    Raises
    ------
    LiftError
        For values out of range, an unknown stage, or level and stage both given.

    Examples
    --------
    >>> Lighten().open, Lighten(stage="pale yellow").open
    (True, False)
    """

    level: float | None = _level()
    stage: str | None = quantity(name="goal_stage", choices=lambda: _stages(), file="stage")
    warmth: float | None = _warmth()
    tolerance: float | None = _tolerance()
    intent = "lighten"

    def __post_init__(self) -> None:
        _check(self)
        if self.level is not None and self.stage is not None:
            raise LiftError("goal.level_and_stage")
        if self.warmth is not None and self.tolerance is not None:
            raise LiftError("goal.warmth_and_tolerance")
        if self.open and (self.warmth is not None or self.tolerance is not None):
            raise LiftError("goal.no_level")

    @property
    def open(self) -> bool:
        """Whether it names nothing to reach."""
        return self.level is None and self.stage is None

    @property
    def to_level(self) -> float:
        """Level to reach [-], that of the stage where one is named.

        Raises
        ------
        LiftError
            For an open goal.
        """
        if self.level is not None:
            return self.level
        if self.stage is None:
            raise LiftError("goal.open")
        return STAGE_OF_LEVEL.index(self.stage) + 1.0


@checked
@dataclass(frozen=True)
class Match:
    """Reach a measured colour, toned or, with a warmth, as lightened.

    Parameters
    ----------
    lab : tuple of float
        CIELAB to reach (D65, 10 degrees).
    warmth : float, optional
        How much warmer than that colour is still welcome [dC*]: nothing tones the hair then.
    tolerance : float, optional
        Difference that still passes for it [dE00]; default: the assumed ``goal_tolerance``.

    Examples
    --------
    >>> Match((54, 9, 27)).lab
    (54.0, 9.0, 27.0)
    """

    lab: Lab
    warmth: float | None = _warmth()
    tolerance: float | None = _tolerance()
    intent = "match"

    def __post_init__(self) -> None:
        _check(self)
        if self.warmth is not None and self.tolerance is not None:
            raise LiftError("goal.warmth_and_tolerance")


@checked
@dataclass(frozen=True)
class Tone:
    """Tone, and lighten nothing.

    Parameters
    ----------
    level, lab : float, tuple of float, optional
        Natural hair of that level, or the CIELAB, to tone to; default: natural hair of the
        lightness that toning ends with.
    tolerance : float, optional
        Difference that still passes for it [dE00]; default: the assumed ``goal_tolerance``.

    Examples
    --------
    >>> Tone().intent
    'tone'
    """

    level: float | None = _level()
    lab: Lab | None = None
    tolerance: float | None = _tolerance()
    intent = "tone"

    def __post_init__(self) -> None:
        _check(self)


Goal = Blend | Lighten | Match | Tone
KINDS: dict[str, Any] = {kind.intent: kind for kind in (Blend, Lighten, Match, Tone)}


def _check(goal: Any) -> None:
    lab = getattr(goal, "lab", None)
    if lab is not None:
        if getattr(goal, "level", None) is not None:
            raise LiftError("goal.both")
        store(goal, "lab", check_lab(lab, note("goal.lab_name")))
    check_fields(goal, store)


def usual_goal(mixture: Mixture) -> Goal:
    """What a mixture means where no goal is given: to stay natural, or to lighten, openly.

    Examples
    --------
    >>> from lift import Mixture
    >>> usual_goal(Mixture("powder", 20)).intent, usual_goal(Mixture("base-break", 10)).intent
    ('lighten', 'blend')
    """
    intent = getattr(
        mixture.chemistry, "intent", "blend" if mixture.kind == "base-break" else "lighten"
    )
    return Blend() if intent == Blend.intent else Lighten()


_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)"
_KEYED = re.compile(rf"(?:^|\s)(warmth|tolerance)\s*=\s*({_NUMBER})\s*$")


def parse_goal(text: str) -> Goal:
    """Read a goal as typed, such as ``blend 7.6``, ``lighten pale yellow`` or ``match 54,9,27``.

    After a level or a colour may stand ``warmth=6`` or ``tolerance=3``. Without an intent ``8``
    means to lighten, ``60,5,20`` to match and ``warmth=6`` to blend.

    Examples
    --------
    >>> parse_goal("lighten 9"), parse_goal("8 warmth=6").warmth
    (Lighten(level=9.0, stage=None, warmth=None, tolerance=None), 6.0)
    """
    rest = text.strip()
    given: dict[str, Any] = {}
    while found := _KEYED.search(rest):
        if found[1] in given:
            raise LiftError("goal.form", value=text)
        given[found[1]] = float(found[2])
        rest = rest[: found.start()].strip()
    head, _, tail = rest.partition(" ")
    intent = head if head in INTENTS else ""
    what = tail.strip() if intent else rest
    if not intent and re.match(r"[a-z]", what):
        check_choice("goal.intent", head, INTENTS)
    fields = _named(what, intent)
    if fields is None or not (fields or given or intent):
        raise LiftError("goal.form", value=text)
    if not intent:
        return goal_of(**fields, **given)
    kind = KINDS[intent]
    for name in {**fields, **given}:
        if name not in kind.__dataclass_fields__:
            raise LiftError("goal.not_of_intent", value=text, what=name, intent=intent)
    if intent == "match" and "lab" not in fields:
        raise LiftError("goal.match_what", value=text)
    goal: Goal = kind(**fields, **given)
    return goal


def goal_of(
    level: float | None = None,
    stage: str | None = None,
    lab: Lab | None = None,
    warmth: float | None = None,
    tolerance: float | None = None,
) -> Goal:
    """Goal of parts without an intent: a level or stage to reach, a colour to match, or a blend.

    Examples
    --------
    >>> goal_of(level=8).intent, goal_of(lab=(60, 5, 20)).intent, goal_of(warmth=6).intent
    ('lighten', 'match', 'blend')
    """
    if level is not None and lab is not None:
        raise LiftError("goal.both")
    if lab is not None:
        return Match(lab, warmth, tolerance)
    if level is not None or stage is not None:
        return Lighten(level, stage, warmth, tolerance)
    return Blend(warmth=warmth, tolerance=tolerance)


def _named(what: str, intent: str) -> dict[str, Any] | None:
    """Level, CIELAB or stage of a text; None where it is none of them."""
    if not what or (intent == "blend" and what == NATURAL):
        return {}
    if re.fullmatch(_NUMBER, what):
        return {"level": float(what)}
    parts = [p.strip() for p in what.split(",")]
    if len(parts) == 3 and all(re.fullmatch(_NUMBER, p) for p in parts):
        return {"lab": tuple(map(float, parts))}
    if intent == "lighten" and re.match(r"[a-z]", what):
        return {"stage": check_choice("quantity.goal_stage.label", what, _stages())}
    return None
