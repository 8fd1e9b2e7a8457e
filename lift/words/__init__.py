"""Words come last: a note is a code with its numbers, and only here does it become a sentence.

Rooms that compute raise and return notes; rooms that show say them. The catalogue of a language is
one module with one mapping, ``SENTENCES``, from code to template. A template is a `str.format`
string whose fields may hold notes, and which knows some formats more (see `Template`).
"""

from __future__ import annotations

import math
import string
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

LONGEST = 160
"""Characters of a value shown in a sentence; what a user typed may be a whole file."""

LAST_LEVEL = 10.0
"""End of the scale of levels: lighter hair is past it, and no number is said of it."""

Language = Callable[[str], str]
"""From a code to its template."""


def in_english(code: str) -> str:
    """Template of a code in English; a code without one is a fault of ours."""
    from lift.words.english import SENTENCES

    return SENTENCES[code]


_LANGUAGE: ContextVar[Language] = ContextVar("language", default=in_english)


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Say everything in another language meanwhile."""
    token = _LANGUAGE.set(language)
    try:
        yield
    finally:
        _LANGUAGE.reset(token)


PLAIN = ".plain"
"""Ends the code of a sentence as it is said to who asked for no numbers of a laboratory."""


@contextmanager
def plainly() -> Iterator[None]:
    """Say everything without numbers of a laboratory meanwhile, where a code has such words.

    Examples
    --------
    >>> with plainly():
    ...     say("dose", dye="violet", dose=2.1)
    'violet'
    """
    spoken = _LANGUAGE.get()

    def plain(code: str) -> str:
        try:
            return spoken(code + PLAIN)
        except KeyError:
            return spoken(code)

    with speaking(plain):
        yield


@dataclass(frozen=True)
class Note:
    """A sentence that is yet to be said: what to say, and the numbers in it.

    Parameters
    ----------
    code : str
        Key of the catalogue, ``room.thing``.
    values : tuple of (str, object)
        What the template's fields hold: numbers, names, or notes.
    """

    code: str
    values: tuple[tuple[str, Any], ...] = ()

    def __str__(self) -> str:
        return say(self)

    def __format__(self, spec: str) -> str:
        return format(say(self), spec)

    def __getitem__(self, name: str) -> Any:
        return dict(self.values)[name]

    def to_dict(self) -> dict[str, Any]:
        """Code and numbers, for programs: ``{"code": ..., "minutes": ...}``."""
        return {"code": self.code} | {name: _plain(value) for name, value in self.values}


def note(code: str, /, **values: Any) -> Note:
    """Make a note: ``note("advice.weaker", volume=10.0, opens=2.5)``."""
    return Note(code, tuple(values.items()))


def say(what: str | Note, /, **values: Any) -> str:
    """Sentence of a note, or of a code with its values, in the language spoken.

    Examples
    --------
    >>> say("chance", p=0.124)
    '12 in 100'
    >>> say(note("chance", p=0.001))
    'fewer than 1 in 100'
    """
    if isinstance(what, Note):
        return _TEMPLATE.vformat(_LANGUAGE.get()(what.code), (), dict(what.values))
    return _TEMPLATE.vformat(_LANGUAGE.get()(what), (), values)


def says(notes: Iterable[Note]) -> list[str]:
    """Sentences of several notes."""
    return [say(each) for each in notes]


def codes(notes: Iterable[Note]) -> list[dict[str, Any]]:
    """Codes and numbers of several notes; the companion of `says` in an answer's JSON."""
    return [each.to_dict() for each in notes]


def known(code: str) -> bool:
    """Whether the language spoken has a template of that code."""
    try:
        _LANGUAGE.get()(code)
    except KeyError:
        return False
    return True


def templates(*prefixes: str) -> dict[str, str]:
    """Template of every code that begins so, for a program that fills them in itself."""
    from lift.words.english import SENTENCES

    spoken = _LANGUAGE.get()
    return {code: spoken(code) for code in SENTENCES if code.startswith(prefixes)}


class Template(string.Formatter):
    """`str.format` with formats for words.

    ``{p:chance}`` a probability as a count; ``{names:list}`` with commas between,
    ``{names:list then}`` with the sentence of the code ``list.then``;
    ``{name:code stage}`` the sentence of the code ``stage.NAME``; ``{names:codes stage}`` those of
    several; ``{n:count bowl|bowls}`` a number
    with its noun; ``{x:level}`` a level to a tenth, ``{x:level .2f}`` as finely as is said, and
    one past `LAST_LEVEL` in words, which ``{x:level_short}`` keeps to a sign;
    ``{t:clock}`` minutes on a clock, ``18:36``;
    ``{flag:if yes|no}`` one text or the other; ``{text:capital}`` with a capital at
    its head, ``{text:upper}`` in capitals; ``{value!r}`` in one line, never longer than `LONGEST`
    characters.
    """

    def convert_field(self, value: Any, conversion: str | None) -> Any:
        """Cut the representation of what was typed."""
        if conversion != "r":
            return super().convert_field(value, conversion)
        shown = " ".join(_written(value).split())
        return shown if len(shown) <= LONGEST else shown[: LONGEST - 3] + "..."

    def format_field(self, value: Any, spec: str) -> Any:
        """Format one field."""
        kind, _, rest = spec.partition(" ")
        if kind == "chance":
            return _chance(float(value))
        if kind == "list":
            return say(f"list.{rest or 'comma'}").join(str(item) for item in value)
        if kind == "code":
            # What a user has named herself, such as a class of mixture, has no other word.
            return say(f"{rest}.{value}") if known(f"{rest}.{value}") else str(value)
        if kind == "codes":
            return say("list.comma").join(self.format_field(item, f"code {rest}") for item in value)
        if kind == "count":
            one, _, many = rest.partition("|")
            return f"{value:g} {one if value == 1 else many}"
        if kind in ("level", "level_short"):
            past = "level.past" if kind == "level" else "level_short.past"
            return say(past) if past_scale(value) else format(value, rest or ".1f")
        if kind == "clock":
            return _clock(float(value))
        if kind == "upper":
            return str(value).upper()
        if kind == "capital":
            words = str(value)
            return words[:1].upper() + words[1:]
        if kind == "if":
            yes, _, no = rest.partition("|")
            return yes if value else no
        return super().format_field(value, spec)


def _written(value: Any) -> str:
    try:
        return repr(value)
    except ValueError:  # Python writes no number of more than some thousand digits
        return say("value.long")


_TEMPLATE = Template()


def past_scale(level: float) -> bool:
    """Whether a level is past the end of the scale, to the tenth that is said of it.

    Examples
    --------
    >>> past_scale(10.04), past_scale(10.1)
    (False, True)
    """
    return round(float(level), 1) > LAST_LEVEL


def _chance(p: float) -> str:
    """Probability as a count, which people judge better than a fraction."""
    if p < 0.005:
        return say("chance.few")
    if p > 0.995:
        return say("chance.most")
    return say("chance.count", count=100.0 * p)


def _clock(minutes: float) -> str:
    """Minutes as minutes and seconds; what lies before the start is the start."""
    seconds = max(0, round(60.0 * minutes))
    return f"{seconds // 60}:{seconds % 60:02d}"


def _plain(value: Any) -> Any:
    if isinstance(value, Note):
        return value.to_dict()
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [_plain(item) for item in value]
    if hasattr(value, "tolist"):
        return _plain(value.tolist())
    # Neither a number that is not finite nor what was typed in another shape is JSON.
    simple = value is None or isinstance(value, str | int) or _finite(value)
    return value if simple else str(value)


def _finite(value: Any) -> bool:
    return isinstance(value, float) and math.isfinite(value)
