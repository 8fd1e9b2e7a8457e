"""A question to the engine, read from typed values; what is wrong is told field by field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lift.errors import LiftError, check_choice
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture, read_mixture
from lift.practice.goal import Goal, resolve_goal
from lift.quantities import read, typed_quantities
from lift.show.page.fields import ASKED, BY_NAME, FIELDS, LONGEST


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
        super().__init__("text", text="; ".join(errors.values()))
        self.errors = dict(errors)
        self.together = together

    def __reduce__(self) -> Any:
        # An error made in another process must arrive whole.
        return RefusedError, (self.errors, self.together)


Typed = tuple[tuple[str, str | None], ...]


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked about one strand.

    Parameters
    ----------
    hair, mixture, minutes, goal : Hair, Mixture, float, Goal or None
        As `lift.practice.preview.preview` takes them.
    typed : tuple of (str, str or None)
        The texts it was read from, every field once; they travel to another process.
    key : tuple
        Equal for questions that have the same answer.
    """

    hair: Hair
    mixture: Mixture
    minutes: float
    goal: Goal | None
    typed: Typed
    key: tuple[Any, ...]


def read_question(typed: Mapping[str, str], curves: CurveSet) -> Question:
    """Read a question, with the command line's own readers.

    Parameters
    ----------
    typed : mapping of str to str
        Text by field name; a field left out takes its default.
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
        text = typed.get(field.name, field.default)
        values[field.name] = text
        if text is None:
            continue
        try:
            if len(text) > LONGEST:
                raise LiftError(
                    "page.too_long", field=field.label, count=len(text), longest=LONGEST
                )
            ASKED[field.name].parse(text)
            if field.name == "mixture":
                check_choice(ASKED["mixture"].label, text, curves.mixtures)
        except LiftError as error:
            errors[field.name] = str(error)
    if errors:
        raise RefusedError(errors)
    return question_of(tuple(values.items()), curves)


def question_of(typed: Typed, curves: CurveSet) -> Question:
    """Build a question of texts of which each is fine by itself.

    Raises
    ------
    RefusedError
        When they do not go together.
    """
    with _Together("lightened_to"):
        hair = read(Hair, _given(Hair, typed))
    with _Together("volume"):
        mixture = read_mixture(_given(Mixture, typed), curves.mixtures)
    values = {name: None if text is None else ASKED[name].parse(text) for name, text in typed}
    with _Together("goal"):
        resolve_goal(values["goal"], hair, curves)
    key = tuple(_frozen(value) for value in values.values())
    return Question(hair, mixture, values["minutes"], values["goal"], typed, key)


def _given(owner: type, typed: Typed) -> dict[str, str | None]:
    return {name: text for name, text in typed if name in typed_quantities(owner)}


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
