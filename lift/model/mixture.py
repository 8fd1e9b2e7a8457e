"""The mixture: product-neutral chemistry as it lies on the hair."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import partial
from types import MappingProxyType
from typing import Any

import numpy as np

from lift.chemistry.strength import check_on_head, mix_developers, on_head_volume
from lift.doors import checked
from lift.errors import LiftError, check_choice, check_number, check_range
from lift.model.curves import Values
from lift.model.frozen import changed, store
from lift.model.mixtures import MixtureClass, MixtureClasses, mixture_classes
from lift.optics.dyes import MAX_DOSE, palette
from lift.quantities import KEY, Quantity, check_shapes, quantities_of, quantity, read
from lift.words import note


def read_volume(text: str) -> Any:
    """Developer as typed: ``10``, or several by parts, ``10:2,20:1``."""
    if ":" not in text:
        return VOLUME.number(text)
    pairs = (pair.partition(":") for pair in text.split(","))
    return tuple(
        (VOLUME.number(volume), check_number("mixture.parts_of_developer", parts, 0.01, 100.0))
        for volume, _, parts in pairs
    )


def read_doses(text: str) -> dict[str, float]:
    """Tone as typed: ``violet=2,blue=1``; ``none`` means no tone."""
    if text.strip() == "none":
        return {}
    doses: dict[str, Any] = {}
    for part in text.split(","):
        dye, equals, dose = part.partition("=")
        if not equals:
            raise LiftError("mixture.tone_form", value=part.strip())
        doses[dye.strip()] = dose
    return check_doses(doses)


def check_doses(doses: Mapping[str, Any]) -> dict[str, float]:
    """Doses by dye [0.01 absorption per fibre radius], each dye known and each dose in range."""
    if not isinstance(doses, Mapping):
        raise LiftError("mixture.tone_form", value=doses)
    return {
        check_choice("mixture.dye", dye, palette()): check_number(
            note("mixture.dose_of", dye=dye), dose, 0.0, MAX_DOSE
        )
        for dye, dose in doses.items()
    }


VOLUME = Quantity(
    "volume",
    0.0,
    100.0,
    "vol",
    default=20.0,
    typed="volume",
    insist=True,
    read=read_volume,
    step=0.5,
    several=True,
    source="over 40 vol (12 %) on the head is refused: Regulation (EC) 1223/2009",
)


@checked
@dataclass(frozen=True, eq=False)
class Mixture:
    """Lightener or cream plus developer; what is not given is the curve set's.

    `kind` is the name of a shipped class or a `MixtureClass` (see `lift.load_mixtures`); afterwards
    it is the name, and `chemistry` the class. `volume` may be several developers as
    ``((10, 2), (20, 1))``, mixed by volume; `tone` is the dose of each dye band carried
    (``lift.optics.dyes``) [0.01 absorption per fibre radius].

    Raises
    ------
    LiftError
        For a value outside its range.
    LimitError
        When the strength on the head exceeds 12 % H2O2 (40 vol).

    Examples
    --------
    >>> float(Mixture("cream", 20).on_head_volume)
    10.0
    """

    kind: Any = quantity(
        default="cream",
        typed="mixture",
        choices=mixture_classes,
        read=str,
        source="classes of mixture by their chemistry",
    )
    volume: Any = field(default=20.0, metadata={KEY: VOLUME})
    developer_parts: Any = quantity(
        low=0.1,
        high=10.0,
        typed="parts",
        several=True,
        step=0.1,
        standing="common practice",
        source="1 to 2 parts of developer to one of product: common practice (no source)",
    )
    ph: Any = quantity(
        low=2.0, high=13.0, typed="ph", several=True, step=0.1, source="what a scalp ever meets"
    )
    boost: Any = quantity(
        low=1.0, high=20.0, several=True, source="factor that persulfate puts on the rate"
    )
    temperature_c: Any = quantity(
        low=10.0,
        high=50.0,
        unit="C",
        default=30.0,
        typed="temperature",
        several=True,
        step=0.5,
        source="from a cold room to a hood",
    )
    tone: Mapping[str, float] | None = quantity(typed="carry", read=read_doses)
    tone_minutes: Any = quantity(
        low=0.5,
        high=60.0,
        unit="min",
        several=True,
        source="time constant with which the tone forms",
    )
    _volume: Any = field(init=False, repr=False)
    _on_head: Any = field(init=False, repr=False)
    chemistry: MixtureClass = field(init=False, repr=False)

    def __post_init__(self) -> None:
        volume = self.volume
        if isinstance(volume, tuple):
            if not volume or not all(np.shape(pair) == (2,) for pair in volume):
                raise LiftError("mixture.several_form")
            parts = check_range("mixture.developer_and_parts", volume, 0.0, 100.0)
            volume = mix_developers(parts[:, 0], parts[:, 1])
        store(self, "_volume", VOLUME.check(volume))
        of = self.kind if isinstance(self.kind, MixtureClass) else mixture_classes()[self.kind]
        store(self, "chemistry", of)
        store(self, "kind", of.name)
        for q in quantities_of(Mixture).values():
            if q.name not in ("kind", VOLUME.name):
                store(self, q.name, q.check(getattr(self, q.name)))
        check_shapes(self, developer=self._volume)
        if self.developer_parts is None:
            object.__setattr__(self, "developer_parts", of.developer_parts)
        if not isinstance(self.volume, tuple):
            object.__setattr__(self, "volume", self._volume)
        if self.tone is not None:
            object.__setattr__(self, "tone", MappingProxyType(check_doses(self.tone)))
        # The head sees the mixture, not the bottle: refuse before anything is computed.
        on_head = on_head_volume(self._volume, self.developer_parts)
        store(self, "_on_head", check_on_head(on_head))

    def __reduce__(self) -> Any:
        # A read-only view of the tone cannot be pickled; it is made again.
        given = {f.name: getattr(self, f.name) for f in fields(self) if f.init}
        tone = None if self.tone is None else dict(self.tone)
        return partial(Mixture, **given | {"kind": self.chemistry, "tone": tone}), ()

    @property
    def developer_volume(self) -> Any:
        """Strength of the developer [vol]; of several developers, of their mix."""
        return self._volume

    @property
    def on_head_volume(self) -> Any:
        """Strength as it lies on the hair [vol], after mixing with the product."""
        return self._on_head

    def replace(self, **changes: Any) -> Mixture:
        """Return the mixture with some fields changed; unknown names are refused."""
        return changed(self, "mixture.field", {"kind": self.chemistry, **changes})

    def properties(self, values: Values) -> dict[str, Any]:
        """Every property, with the curve set's where a field was not given.

        Parameters
        ----------
        values : mapping
            Parameter values of a curve set.

        Returns
        -------
        dict
            As `lift.model.course.Conditions` names them.
        """
        own = {
            "ph": self.ph,
            "boost": self.boost,
            "tone": None if self.tone is None else dict(self.tone),
            "tone_minutes": self.tone_minutes,
        }
        given = {name: value for name, value in own.items() if value is not None}
        share = 1.0 / (1.0 + np.asarray(self.developer_parts))
        return self.chemistry.properties(values) | {"powder_share": share} | given


def read_mixture(typed: Mapping[str, Any], classes: MixtureClasses | None = None) -> Mixture:
    """Build a mixture from typed texts, of the classes that a curve set knows."""
    named = typed.get("mixture")
    name = quantities_of(Mixture)["kind"].default if named is None else named
    return read(Mixture, typed, kind=(classes or mixture_classes())[name])
