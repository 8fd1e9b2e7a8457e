"""Quantities: what a number is called, its unit, range and default, declared once.

A class declares its fields with `quantity`; options of the command line, fields of the page, keys
of TOML, columns of SQL and CSV, the interface's description and the reference in the docs are made
from them. Label, help and what is said of a value are words: ``quantity.NAME.label`` and so on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, field, fields, replace
from functools import cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import (
    Floats,
    LiftError,
    check_choice,
    check_number,
    check_range,
    check_together,
    named,
    shape_of,
)
from lift.words import LAST_LEVEL, Note, known, note

T = TypeVar("T")
KEY = "quantity"

FLAGS = ("false", "true")


@dataclass(frozen=True, eq=False)
class Quantity:
    """One property, as every entrance and every exit of the tool knows it.

    Parameters
    ----------
    name : str
        Field of its class, key in JSON and column in SQL; it carries its unit, as ``fibre_um``.
    low, high : float, optional
        Allowed closed range, in `unit`; None for what is no number.
    unit : str
        Unit printed behind the number.
    default : object
        Value when it is not given.
    required : bool
        Whether it must be given.
    typed : str
        Name at the command line and on the page, as ``fibre``; empty: not typed there.
    file : str
        Key in a scenario file; default: the name.
    words : mapping of str to float
        Words that stand for numbers, as ``fine``.
    choices : callable, optional
        Returns the allowed words of a quantity that is one of them.
    flag : object
        Value that it has when typed alone; None: it takes a value.
    read : callable, optional
        Reads a typed text that is more than a number or a word.
    step : float
        Step of a slider, in `unit`.
    start : object
        Where a form starts when there is no default.
    insist : bool
        Whether the command line wants it typed although there is a default.
    several : bool
        Whether an array is allowed.
    whole : bool
        Whether it is a whole number.
    lab : bool
        Whether a CIELAB may stand for the number.
    always : bool
        Whether it is said of an object even where it has its default.
    standing, source : str
        What range and default rest on.
    """

    name: str = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""
    default: Any = None
    required: bool = False
    typed: str = ""
    file: str = ""
    words: Mapping[str, float] | None = None
    choices: Callable[[], Any] | None = None
    flag: Any = None
    read: Callable[[str], Any] | None = None
    step: float = 1.0
    start: Any = None
    insist: bool = False
    several: bool = False
    whole: bool = False
    lab: bool = False
    always: bool = False
    standing: str = "assumed"
    source: str = ""

    @property
    def range(self) -> tuple[float, float]:
        """Allowed closed range [its unit] of a quantity that is a number."""
        assert self.low is not None, self.name
        assert self.high is not None, self.name
        return self.low, self.high

    @property
    def label(self) -> Note:
        """What it is called."""
        return note(f"quantity.{self.name}.label")

    @property
    def help(self) -> Note:
        """One sentence about it, with its range."""
        values: dict[str, Any] = {"low": self.low, "high": self.high, "unit": self.unit}
        if self.words:
            values["words"] = [*self.words]
        if self.choices:
            values["words"] = [*self.choices()]
        if self.flag is not None:
            values["flag"] = self.flag
        return note(f"quantity.{self.name}.help", **values)

    @property
    def default_typed(self) -> str:
        """Default as it would be typed; empty where there is none."""
        word = {value: name for name, value in (self.words or {}).items()}.get(self.default)
        if word or self.default is None or self.flag is not None:
            return word or ""
        return self.default if isinstance(self.default, str) else f"{self.default:g}"

    def said(self, value: Any) -> Note | None:
        """What is said of a value in a line about the whole; None: nothing."""
        code = f"quantity.{self.name}.said"
        usual = value is None or (value == self.default and not self.always)
        if usual or not known(code):
            return None
        return note(code, value=value)

    def check(self, value: Any) -> Any:
        """Return a value as it is kept, when it is allowed; None stays None where it may.

        Raises
        ------
        LiftError
            Naming value, range and nearest, or the nearest word.
        """
        if value is None and self.default is None and not self.required:
            return None
        if self.choices is not None:
            allowed = self.choices()
            if isinstance(self.default, tuple):
                return tuple(check_choice(self.label, each, allowed) for each in value)
            return check_choice(self.label, value, allowed)
        if self.words and isinstance(value, str) and not _is_number(value):
            return self.words[check_choice(self.label, value, self.words)]
        if self.low is not None and self.high is not None:
            if self.several:
                return check_range(self.label, value, self.low, self.high, self.unit)
            if self.lab and shape_of(value) != ():
                return check_lab(value, self.label)
            number = check_number(self.label, value, self.low, self.high, self.unit)
            return self._whole(number) if self.whole else number
        if isinstance(self.default, bool):
            if not isinstance(value, bool | np.bool_):
                raise LiftError("quantity.not_flag", name=self.label, value=value)
            return bool(value)
        return value

    def number(self, value: Any) -> float:
        """Like `check`, for one number, as typed texts are, whatever else the library takes."""
        assert self.low is not None, self.name
        assert self.high is not None, self.name
        return check_number(self.label, value, self.low, self.high, self.unit)

    def check_whole(self, value: Any) -> int:
        """Like `check`, for a whole number."""
        return self._whole(float(self.check(value)))

    def _whole(self, number: float) -> int:
        if number != int(number):
            raise LiftError("quantity.not_whole", name=self.label, value=number)
        return int(number)

    def parse(self, text: str) -> Any:
        """Value of a typed text, checked; a flag is ``true`` or ``false``.

        Raises
        ------
        LiftError
            When the text cannot be read or its value is not allowed.
        """
        if self.read is not None:
            return self.read(text)
        if self.flag is not None and not (self.low is not None and _is_number(text)):
            return self.flag if check_choice(self.label, text, FLAGS) == FLAGS[1] else self.default
        if self.low is None or self.high is None:
            return self.check(text)
        if self.words and not _is_number(text):
            if text in self.words:
                return self.words[text]
            raise LiftError(
                "quantity.no_word",
                name=self.label,
                value=text,
                known=[*self.words],
                low=self.low,
                high=self.high,
                unit=self.unit,
            )
        return self.number(text)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def quantity(**declared: Any) -> Any:
    """Declare a field of a dataclass as a quantity; see `Quantity` for what may be given."""
    made = Quantity(**declared)
    default = MISSING if made.required else made.default
    return field(default=default, metadata={KEY: made})


def quantities_of(owner: type) -> Mapping[str, Quantity]:
    """Quantities of a class by field name, in the order of its fields."""
    key: Any = owner  # mypy holds a class of any kind not to be hashable
    return _declared(key)


@cache
def _declared(owner: Any) -> Mapping[str, Quantity]:
    return {
        f.name: replace(f.metadata[KEY], name=f.metadata[KEY].name or f.name)
        for f in fields(owner)
        if KEY in f.metadata
    }


def typed_quantities(*owners: type) -> Mapping[str, tuple[type, Quantity]]:
    """Quantities that are typed at the command line or on the page, by the name typed there."""
    return {
        q.typed: (owner, q) for owner in owners for q in quantities_of(owner).values() if q.typed
    }


def read(owner: type[T], typed: Mapping[str, Any], **given: Any) -> T:
    """Build an object from typed texts.

    Parameters
    ----------
    owner : type
        A class whose fields are quantities.
    typed : mapping of str to str, bool or None
        Text by typed name; what is missing or None takes its default; others are ignored.
    **given
        Fields that were read already; they go before what was typed.

    Returns
    -------
    object
        Of `owner`.

    Raises
    ------
    LiftError
        At the first value that is not allowed, or when values do not go together.
    """
    texts = {
        field: _typed_value(q, typed[q.typed])
        for field, q in quantities_of(owner).items()
        if q.typed and typed.get(q.typed) is not None
    }
    return owner(**texts | given)


def _typed_value(q: Quantity, given: Any) -> Any:
    if isinstance(given, bool):
        return q.flag if given else q.default
    return q.parse(given)


def described(thing: Any) -> list[Note]:
    """What is to be said of an object in one line, property by property, defaults left out."""
    notes = (q.said(getattr(thing, field)) for field, q in quantities_of(type(thing)).items())
    return [each for each in notes if each is not None]


def check_fields(thing: Any, store: Callable[[object, str, Any], None]) -> None:
    """Check every declared field of a frozen object and store it as it is kept."""
    for name, q in quantities_of(type(thing)).items():
        store(thing, name, q.check(getattr(thing, name)))
    check_shapes(thing)


def check_seed(seed: Any) -> int:
    """Seed of random numbers, as a number or as typed, checked: 0 to 2^32 - 1."""
    return int(check_number("name.seed", seed, 0, 2**32 - 1))


def check_shapes(*things: Any, **given: Any) -> None:
    """Refuse objects whose fields, and what is given besides, do not broadcast together."""
    arrays = {
        name: getattr(thing, name)
        for thing in things
        for name, q in quantities_of(type(thing)).items()
        if q.several and isinstance(getattr(thing, name), np.ndarray)
    }
    if arrays or len(given) > 1:
        check_together(**arrays, **given)


# Quantities that are asked beside hair and mixture.

MINUTES = Quantity(
    "minutes",
    0.0,
    120.0,
    "min",
    required=True,
    typed="minutes",
    step=0.5,
    start=10.0,
    several=True,
    standing="assumed",
    source="past two hours nothing is left on",
)
RINSE = replace(MINUTES, name="rinse_minutes", required=False)
PROCESSED = replace(MINUTES, low=0.1)
MEMBERS = Quantity("members", 2, 100_000, default=160)
COVERAGE = Quantity("coverage", 0.01, 0.99, default=0.9)
WASHES_PER_WEEK = Quantity(
    "washes_per_week", 0.25, 14.0, default=3.0, typed="washes_per_week", step=0.25
)
LEVEL_NOW = Quantity("level_now", 1.0, LAST_LEVEL, several=True, step=0.1)


Lab = tuple[float, float, float]
"""One colour: L*, a*, b*."""


def check_lab(value: Any, name: Note | None = None) -> Lab:
    """CIELAB of one colour, checked: ranges of L*, a*, b* that any hair or dye can have.

    Raises
    ------
    LiftError
        When it is not three numbers in range.
    """
    if shape_of(value) != (3,):
        raise LiftError("quantity.not_lab", name=name or note("quantity.lab.label"), value=value)
    found = [
        check_number(_axis(axis, name), part, low, high)
        for (axis, low, high), part in zip(LAB, value, strict=True)
    ]
    return found[0], found[1], found[2]


def check_labs(value: ArrayLike, name: str | Note, *, one: bool = False) -> Floats:
    """CIELAB of colours, shape (..., 3), or of `one`, shape (3,), in the ranges of `check_lab`."""
    what = named(name)
    try:
        lab = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise LiftError("quantity.not_lab", name=what, value=value) from None
    if lab.shape[-1:] != (3,):
        raise LiftError("quantity.lab.shape", name=what, shape=lab.shape)
    if one and lab.ndim > 1:
        raise LiftError("quantity.lab.one", name=what, shape=lab.shape)
    for (axis, low, high), part in zip(LAB, np.moveaxis(lab, -1, 0), strict=True):
        check_range(_axis(axis, what), part, low, high)
    return lab


def _axis(axis: str, name: Note | None) -> Note:
    of = "" if name is None else note("quantity.lab.of", name=name)
    return note("quantity.lab.axis", name=of, axis=axis)


LAB = (("L*", 0.0, 100.0), ("a*", -100.0, 100.0), ("b*", -100.0, 120.0))


def read_lab(text: str) -> Lab:
    """Colour typed as ``L,a,b``."""
    parts = text.split(",")
    if len(parts) != 3:
        raise LiftError("quantity.lab.form", value=text)
    return check_lab([part.strip() for part in parts])
