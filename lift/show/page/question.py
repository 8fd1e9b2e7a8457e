"""A question to the engine, read from typed values; what is wrong is told field by field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from lift.errors import LiftError, check_choice
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import KINDS, Mixture
from lift.practice.goal import Goal, parse_goal, resolve_goal
from lift.practice.strand_file import StrandFile
from lift.practice.typed import (
    NUMBERS,
    read_doses,
    read_fibre,
    read_hair,
    read_mixture,
    read_number,
    read_volume,
)
from lift.show.page.fields import BY_NAME, FIELDS, FLAGS, LONGEST


class RefusedError(LiftError):
    """Values that cannot be accepted, each with the field it stands in.

    Parameters
    ----------
    errors : mapping of str to str
        Message by field.
    together : bool
        Whether each value is fine by itself and only their combination is refused.
    """

    def __init__(self, errors: Mapping[str, str], together: bool = False) -> None:
        super().__init__("; ".join(errors.values()))
        self.errors = dict(errors)
        self.together = together


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked about one strand.

    Parameters
    ----------
    hair, mixture, minutes, goal : Hair, Mixture, float, Goal or None
        As `lift.practice.preview.preview` takes them.
    key : tuple
        Equal for questions that have the same answer.
    strand : StrandFile or None
        Strand test that is to be used.
    """

    hair: Hair
    mixture: Mixture
    minutes: float
    goal: Goal | None
    key: tuple[Any, ...]
    strand: StrandFile | None = None


def _flag(name: str) -> Callable[[str], bool]:
    return lambda text: check_choice(name, text, FLAGS) == "true"


def _number(name: str) -> Callable[[str], float]:
    return lambda text: read_number(name, text)


READERS: Mapping[str, Callable[[str], Any]] = {
    **{name: _number(name) for name in NUMBERS},
    "fibre": read_fibre,
    "volume": read_volume,
    "damp": _flag("damp"),
    "red": _flag("red"),
    "strand": _flag("strand"),
    "mixture": lambda text: check_choice("mixture", text, KINDS),
    "carry": lambda text: dict(Mixture(volume=0.0, tone=read_doses(text)).tone or {}),
    "goal": parse_goal,
}


def read_question(typed: Mapping[str, str], curves: CurveSet) -> Question:
    """Read a question, with the command line's own readers.

    Parameters
    ----------
    typed : mapping of str to str
        Text by field name; a field left out or empty takes its default.
    curves : CurveSet
        Decides what the goal means.

    Returns
    -------
    Question

    Raises
    ------
    RefusedError
        Naming every field whose value cannot be accepted.
    """
    values, errors = {}, {}
    for name in typed:
        try:
            check_choice("field", name, BY_NAME)
        except LiftError as error:
            errors[name] = str(error)
    for field in FIELDS:
        text = typed.get(field.name, "").strip() or field.default
        values[field.name] = text
        if text is None:
            continue
        try:
            if len(text) > LONGEST:
                raise LiftError(
                    f"{field.label} has {len(text)} characters; allowed: up to {LONGEST}"
                )
            READERS[field.name](text)
        except LiftError as error:
            errors[field.name] = str(error)
    if errors:
        raise RefusedError(errors)
    return _build(values, curves)


def _build(values: Mapping[str, Any], curves: CurveSet) -> Question:
    # Every value is fine by itself; what is refused now is refused because of another one.
    with _Together("lightened_to"):
        hair = read_hair(
            values["level"],
            values["fibre"],
            values["damp"] == "true",
            values["grey"],
            values["red"] == "true",
            values["lightened_to"],
        )
    with _Together("volume"):
        mixture = read_mixture(
            values["volume"],
            values["mixture"],
            values["parts"],
            values["ph"],
            values["temperature"],
            values["carry"],
        )
    goal = None if values["goal"] is None else parse_goal(values["goal"])
    with _Together("goal"):
        resolve_goal(goal, hair, curves)
    read = tuple(None if v is None else _frozen(READERS[k](v)) for k, v in values.items())
    return Question(hair, mixture, read_number("minutes", values["minutes"]), goal, read)


def _frozen(value: Any) -> Any:
    # The first dye is the one that advice offers more of, so their order counts.
    return tuple(value.items()) if isinstance(value, dict) else value


class _Together:
    """Puts a refusal beside the field it is best mended in."""

    def __init__(self, field: str) -> None:
        self.field = field

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: Any, error: BaseException | None, trace: Any) -> None:
        if isinstance(error, LiftError):
            raise RefusedError({self.field: str(error)}, together=True) from error
