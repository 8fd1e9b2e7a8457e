"""Validity: the conditions of the swatches that a curve set was tuned to."""

from __future__ import annotations

from dataclasses import dataclass
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


@dataclass(frozen=True)
class Validity:
    """Ranges and mixtures that were measured; outside them a prediction extrapolates.

    Parameters
    ----------
    spans : tuple of (str, float, float)
        Name, one of `SPANS`, with lowest and highest value, each in the unit of `SPANS`.
    mixtures : tuple of str
        Kinds of mixture.

    Raises
    ------
    LiftError
        For an unknown name, a number that is not finite, or a range upside down.
    """

    spans: tuple[tuple[str, float, float], ...]
    mixtures: tuple[str, ...]

    def __post_init__(self) -> None:
        for name, low, high in self.spans:
            check_choice("validity.range", name, SPANS)
            check_number(note("validity.of", name=name), low, -1e6, 1e6)
            check_number(note("validity.of", name=name), high, low, 1e6)

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
        asked: dict[str, Any] = {
            "level": hair.level,
            "on_head_volume": mixture.on_head_volume,
            "minutes": minutes,
            "ph": ph,
            "temperature_c": mixture.temperature_c,
            "fibre_um": hair.fibre_um,
        }
        said = []
        if self.mixtures and mixture.kind not in self.mixtures:
            said.append(note("extrapolates.mixture", kind=mixture.kind))
        for name, low, high in self.spans:
            numbers = np.asarray(asked[name], dtype=np.float64)
            outside = np.maximum(low - numbers, numbers - high)
            if np.max(outside) > SLACK:
                worst = float(numbers.flat[np.argmax(outside)])
                what, unit = note(f"extrapolates.{name}"), SPANS[name]
                said.append(
                    note("extrapolates.span", what=what, worst=worst, low=low, high=high, unit=unit)
                )
        if hair.lightened_to is not None:
            said.append(note("extrapolates.lightened"))
        if hair.damp:
            said.append(note("extrapolates.damp"))
        return tuple(said)

    def to_dict(self) -> dict[str, Any]:
        """Ranges by name, and the mixtures."""
        ranges = {name: [low, high] for name, low, high in self.spans}
        return {"mixtures": list(self.mixtures), **ranges}

    def to_toml(self) -> list[str]:
        """Lines of the curve-set file."""
        words = ", ".join(f'"{kind}"' for kind in self.mixtures)
        lines = ["[validity]", f"mixtures = [{words}]"]
        return lines + [f"{name} = [{low!r}, {high!r}]" for name, low, high in self.spans]


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
        if name == "mixtures":
            continue
        if not isinstance(pair, list) or len(pair) != 2:
            raise LiftError("validity.pair", place=place, name=name)
        low, high = (check_number(note("validity.cell", name=name), v, -1e6, 1e6) for v in pair)
        spans.append((name, low, high))
    mixtures = table.get("mixtures", [])
    if not isinstance(mixtures, list):
        raise LiftError("validity.mixtures", place=place)
    return Validity(tuple(spans), tuple(map(str, mixtures)))
