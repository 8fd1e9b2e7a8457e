"""A question to the engine, read from typed values; what is wrong is told field by field."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from lift.errors import LiftError, check_choice
from lift.files import shown_path
from lift.model.curves import CurveSet
from lift.model.domain import OutsideError, check_domain
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Goal, Lighten
from lift.practice.target import resolve_goal
from lift.quantities import quantities_of
from lift.show.page.fields import BY_NAME, LONGEST
from lift.words import Note, says

T = TypeVar("T")

TOGETHER = 409
"""Status when each value is fine by itself and only their combination is refused."""


class RefusedError(LiftError):
    """What cannot be accepted, by the field it stands in ("": none), with an HTTP status."""

    def __init__(self, errors: Mapping[str, Note], status: int = 422) -> None:
        super().__init__("text", text="; ".join(says(errors.values())))
        self.errors = dict(errors)
        self.status = status

    def __reduce__(self) -> Any:
        # An error made in another process must arrive whole.
        return RefusedError, (self.errors, self.status)


@contextmanager
def refused(field: str, status: int = 422) -> Iterator[None]:
    """Put a refusal beside the field it is best mended in."""
    try:
        yield
    except RefusedError:
        raise
    except LiftError as error:
        raise RefusedError({field: error.note}, status) from None


def refuse_all(checks: Mapping[str, Callable[[], T]]) -> dict[str, T]:
    """Run a check for each field, and refuse all that fail at once; what they returned."""
    done: dict[str, T] = {}
    errors: dict[str, Note] = {}
    for field, check in checks.items():
        try:
            done[field] = check()
        except RefusedError as error:
            errors |= error.errors
        except LiftError as error:
            errors[field] = error.note
    if errors:
        raise RefusedError(errors)
    return done


def without(what: Any, path: Path, instead: str) -> Any:
    """Return a note with another name for a path, which means nothing to a reader of the page."""
    if isinstance(what, Note):
        return Note(what.code, tuple((k, without(v, path, instead)) for k, v in what.values))
    return instead if what in (str(path), shown_path(path)) else what


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked about one strand, checked; it travels to other processes as it is.

    What is `still` is the same at every minute.
    """

    hair: Hair
    mixture: Mixture
    minutes: float
    goal: Goal | None
    still: tuple[Any, ...]

    @property
    def key(self) -> tuple[Any, ...]:
        """Equal keys have the same answer."""
        return (*self.still, self.minutes)


def read_question(typed: Mapping[str, Any], curves: CurveSet) -> Question:
    """Read a question from texts by field; each is read once, one left out takes its default.

    Raises
    ------
    RefusedError
        Naming every field whose value cannot be accepted, or the one that does not go with others.
    """
    checks: dict[str, Callable[[], Any]] = {
        name: partial(_value, name, typed) for name in {**BY_NAME, **typed}
    }
    checks["mixture"] = lambda: curves.mixtures[_value("mixture", typed)]
    values = refuse_all(checks)
    with refused("lightened_to", TOGETHER):
        hair = Hair(**_given(Hair, values))
    with refused("volume", TOGETHER):
        mixture = Mixture(**_given(Mixture, values))
    try:
        check_domain(hair, mixture, values["minutes"], curves)
    except OutsideError as error:
        raise RefusedError({_typed_name(error.property_name): error.note}, TOGETHER) from None
    if not is_open(goal := values["goal"]):
        with refused("goal", TOGETHER):
            resolve_goal(goal, hair, curves)
    # The first dye is the one that advice offers more of, so their order counts.
    minutes = values.pop("minutes")
    still = tuple(tuple(v.items()) if isinstance(v, dict) else v for v in values.values())
    return Question(hair, mixture, minutes, values["goal"], still)


def is_open(goal: Goal | None) -> bool:
    """Whether a goal names nothing to reach, so that there is nothing to be refused.

    Examples
    --------
    >>> from lift import Lighten
    >>> is_open(Lighten()), is_open(Lighten(level=8))
    (True, False)
    """
    return isinstance(goal, Lighten) and goal.open


def _value(name: str, typed: Mapping[str, Any]) -> Any:
    check_choice("page.field", name, BY_NAME)
    text = typed.get(name, BY_NAME[name].default)
    if text is None:
        return None
    if len(text) > LONGEST:
        label = BY_NAME[name].label
        raise LiftError("page.too_long", field=label, count=len(text), longest=LONGEST)
    return BY_NAME[name].quantity.parse(text)


def _typed_name(name: str) -> str:
    """Field that a property is typed in."""
    return next(field for field, f in BY_NAME.items() if f.quantity.name == name)


def _given(owner: type, values: Mapping[str, Any]) -> dict[str, Any]:
    asked = {name: values[q.typed] for name, q in quantities_of(owner).items() if q.typed}
    return {name: value for name, value in asked.items() if value is not None}
