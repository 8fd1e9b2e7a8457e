"""Fields of a preview: what the form shows, what the description of the interface promises."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lift.model.hair import FIBRE_RANGE, FIBRES_UM
from lift.model.mixture import KINDS
from lift.practice.typed import NUMBERS

LONGEST = 200
"""Characters of one typed value; no sensible one is longer."""

FLAGS = ("false", "true")


@dataclass(frozen=True)
class Field:
    """One input, named as the option of the command line.

    Parameters
    ----------
    name, label : str
        Name in requests and label on the page.
    default : str or None
        Text used when it is not given; None: it may be left out.
    low, high, step : float, optional
        Allowed closed range and the slider's step, in `unit`; None for words.
    unit : str
        Unit behind the number.
    choices : tuple of str
        Allowed words, when only words are allowed.
    about : str
        One sentence for the description of the interface.
    """

    name: str
    label: str
    default: str | None
    about: str
    low: float | None = None
    high: float | None = None
    step: float | None = None
    unit: str = ""
    choices: tuple[str, ...] = ()

    @property
    def schema(self) -> dict[str, Any]:
        """JSON schema of the value."""
        if self.choices:
            schema: dict[str, Any] = {"type": "string", "enum": list(self.choices)}
        elif self.low is None:
            schema = {"type": "string", "maxLength": LONGEST}
        else:
            schema = {"type": "number", "minimum": self.low, "maximum": self.high}
        if self.default is not None:
            number = "type" in schema and schema["type"] == "number"
            schema["default"] = float(self.default) if number else self.default
        return schema


def _number(name: str, label: str, default: str | None, step: float, about: str) -> Field:
    _, low, high, unit = NUMBERS[name]
    return Field(name, label, default, about, low, high, step, unit)


FIELDS = (
    _number("level", "Natural level", "6", 0.1, "Natural level, 1 black to 10 lightest blond."),
    Field(
        "fibre",
        "Fibre",
        "70",
        f"Fibre diameter; as words: {', '.join(f'{k} {v:g}' for k, v in FIBRES_UM.items())}.",
        *FIBRE_RANGE,
        1.0,
        "um",
    ),
    Field("damp", "Damp hair", "false", "Damp hair dilutes the mixture.", choices=FLAGS),
    _number("grey", "Grey", "0", 1.0, "Unpigmented fibres."),
    Field("red", "Red hair", "false", "A third of its melanin is pheomelanin.", choices=FLAGS),
    _number("lightened_to", "Lightened before, to level", None, 0.1, "Level before today."),
    Field("mixture", "Mixture", "cream", "Kind of mixture.", choices=tuple(KINDS)),
    _number("volume", "Developer", "20", 0.5, "Strength of the developer."),
    _number("parts", "Parts of developer", None, 0.1, "Parts of developer to one of product."),
    _number("ph", "pH on the hair", None, 0.1, "pH of the mixture as it lies on the hair."),
    _number("temperature", "Temperature", "30", 0.5, "Temperature of the mixture on the hair."),
    Field("carry", "Tone in the mixture", None, "Doses by dye: violet=2,blue=1; none: no tone."),
    _number("minutes", "Minutes", "10", 0.5, "Processing time."),
    Field("goal", "Goal", None, "8, or 60,5,20, or warmth=6, or 8 warmth=6."),
    Field("strand", "Use my strand test", "false", "Use the kept strand test.", choices=FLAGS),
)

BY_NAME = {field.name: field for field in FIELDS}
