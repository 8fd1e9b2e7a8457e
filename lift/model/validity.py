"""Validity: the conditions that a curve set is good for, as far as it was measured or fitted."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import LiftError, check_choice, check_number
from lift.words import Note, note

if TYPE_CHECKING:
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

SPANS = {
    "level": "",
    "on_head_volume": " vol",
    "minutes": " min",
    "ph": "",
    "temperature_c": " C",
    "fibre_um": " um",
}
SLACK = 1e-6
LONGEST = "longest_minutes"
FLAGS = ("measured", "damp", "lightened")


@dataclass(frozen=True)
class Validity:
    """Ranges and mixtures that were measured or fitted; outside them a prediction extrapolates.

    Parameters
    ----------
    spans : tuple of (str, float, float)
        Name, one of `SPANS`, with lowest and highest value, each in the unit of `SPANS`.
    mixtures : tuple of str
        Kinds of mixture.
    longest : tuple of (str, float)
        Longest processing time of a kind of mixture [min], where the kinds differ in it.
    measured : bool
        Whether swatches had these conditions, or rows of common practice speak of them.
    damp, lightened : bool
        Whether any of the hair was damp, or had been lightened before.

    Raises
    ------
    LiftError
        For an unknown name, a number that is not finite, or a range upside down.
    """

    spans: tuple[tuple[str, float, float], ...]
    mixtures: tuple[str, ...]
    longest: tuple[tuple[str, float], ...] = ()
    measured: bool = True
    damp: bool = False
    lightened: bool = False

    def __post_init__(self) -> None:
        for name, low, high in self.spans:
            check_choice("validity.range", name, SPANS)
            check_number(note("validity.of", name=name), low, -1e6, 1e6)
            check_number(note("validity.of", name=name), high, low, 1e6)
        for kind, minutes in self.longest:
            check_choice("validity.mixture", kind, self.mixtures)
            check_number(note("validity.of", name=LONGEST), minutes, 0.0, 1e6)

    def longest_minutes(self, kind: str) -> float | None:
        """Longest processing time of a kind of mixture [min]; None where it is not known."""
        if kind in dict(self.longest):
            return dict(self.longest)[kind]
        spans = {name: high for name, _, high in self.spans}
        return spans.get("minutes") if self.mixtures == (kind,) else None

    def extrapolations(
        self, hair: Hair, mixture: Mixture, minutes: ArrayLike, ph: ArrayLike
    ) -> tuple[Note, ...]:
        """What of a prediction lies outside, one sentence each.

        Parameters
        ----------
        hair, mixture : Hair, Mixture
            What is asked.
        minutes : array_like
            Processing times shown [min].
        ph : array_like
            pH of the mixture [-].
        """
        if not np.size(minutes):
            return ()
        asked: dict[str, Any] = {
            "level": hair.level,
            "on_head_volume": mixture.on_head_volume,
            "minutes": minutes,
            "ph": ph,
            "temperature_c": mixture.temperature_c,
            "fibre_um": hair.fibre_um,
        }
        by = "" if self.measured else ".fitted"
        said = []
        if self.mixtures and mixture.kind not in self.mixtures:
            said.append(note(f"extrapolates.mixture{by}", kind=mixture.kind))
        longest = self.longest_minutes(mixture.kind)
        for name, low, high in self.spans:
            if name == "minutes" and longest is not None:
                high = longest
            numbers = np.asarray(asked[name], dtype=np.float64)
            outside = np.maximum(low - numbers, numbers - high)
            if np.max(outside) > SLACK:
                worst = float(numbers.flat[np.argmax(outside)])
                what, unit = note(f"extrapolates.{name}"), SPANS[name]
                span = {"what": what, "worst": worst, "low": low, "high": high, "unit": unit}
                said.append(note(f"extrapolates.span{by}", **span))
        if hair.lightened_to is not None and not self.lightened:
            said.append(note(f"extrapolates.lightened{by}"))
        if hair.damp and not self.damp:
            said.append(note(f"extrapolates.damp{by}"))
        return tuple(said)

    def to_dict(self) -> dict[str, Any]:
        """Ranges by name, the mixtures with their longest times, and what kind of hair it was."""
        ranges = {name: [low, high] for name, low, high in self.spans}
        flags = {name: getattr(self, name) for name in FLAGS}
        return {"mixtures": list(self.mixtures), **ranges, LONGEST: dict(self.longest), **flags}

    def to_toml(self) -> list[str]:
        """Lines of the curve-set file."""
        words = ", ".join(f'"{kind}"' for kind in self.mixtures)
        lines = ["[validity]", f"mixtures = [{words}]"]
        lines += [f"{name} = [{low!r}, {high!r}]" for name, low, high in self.spans]
        if self.longest:
            each = ", ".join(f"{kind} = {minutes!r}" for kind, minutes in self.longest)
            lines.append(f"{LONGEST} = {{ {each} }}")
        usual = {f.name: f.default for f in fields(self)}
        given = [(name, getattr(self, name)) for name in FLAGS]
        return lines + [f"{n} = {str(v).lower()}" for n, v in given if v != usual[n]]


def parse_validity(table: Any, place: Note) -> Validity:
    """Read the ``[validity]`` table of a curve-set file; `place` says which, for an error.

    Raises
    ------
    LiftError
        When an entry is not what `Validity` holds.
    """
    if not isinstance(table, dict):
        raise LiftError("validity.table", place=place)
    spans = []
    for name, pair in table.items():
        if name in ("mixtures", LONGEST, *FLAGS):
            continue
        if not isinstance(pair, list) or len(pair) != 2:
            raise LiftError("validity.pair", place=place, name=name)
        low, high = (check_number(note("validity.cell", name=name), v, -1e6, 1e6) for v in pair)
        spans.append((name, low, high))
    mixtures = table.get("mixtures", [])
    if not isinstance(mixtures, list):
        raise LiftError("validity.mixtures", place=place)
    longest = table.get(LONGEST, {})
    if not isinstance(longest, dict):
        raise LiftError("validity.longest", place=place)
    flags = {name: table[name] for name in FLAGS if name in table}
    for name, value in flags.items():
        if not isinstance(value, bool):
            raise LiftError("quantity.not_flag", name=note("validity.cell", name=name), value=value)
    cell = note("validity.cell", name=LONGEST)
    by_kind = tuple((kind, check_number(cell, v, 0.0, 1e6)) for kind, v in longest.items())
    return Validity(tuple(spans), tuple(map(str, mixtures)), by_kind, **flags)
