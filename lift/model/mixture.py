"""The mixture: product-neutral chemistry as it lies on the hair."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from lift.chemistry.strength import check_on_head, mix_developers, on_head_volume
from lift.errors import Floats, LiftError, check_choice, check_number, check_range
from lift.model.curves import Values
from lift.model.frozen import store
from lift.optics.dyes import MAX_DOSE, palette

KINDS = {
    "cream": "oxidative cream: alkaline cream with developer, no persulfate",
    "base-break": "base-break cream: more alkaline than a cream and carries tone",
    "powder": "persulfate powder with developer",
}

DEVELOPER_PARTS = {"cream": 1.0, "base-break": 1.0, "powder": 2.0}
"""Usual parts of developer to one of product: common practice (no source)."""


@dataclass(frozen=True, eq=False)
class Mixture:
    """Lightener or cream plus developer.

    Parameters
    ----------
    kind : str
        ``cream``, ``base-break`` or ``powder``: which of the curve set's properties hold
        where a field below is not given.
    volume : float, array_like or tuple of (volume, parts)
        Developer strength [vol], 0 to 100; or several developers as ``((10, 2), (20, 1))``,
        mixed by volume.
    developer_parts : float, optional
        Parts of developer to one part of product [-], 0.1 to 10; default `DEVELOPER_PARTS`.
    ph : float, optional
        pH on the hair [-], 2 to 13.
    boost : float, optional
        Factor that persulfate puts on the rate [-], 1 to 20.
    temperature_c : float
        Temperature of the mixture on the hair [C], 10 to 50.
    tone : mapping of str to float, optional
        Dose of each dye band carried (``lift.optics.dyes``) [0.01 absorption per fibre radius].
    tone_minutes : float, optional
        Time constant with which the tone forms [min], 0.5 to 60.

    Raises
    ------
    LiftError
        For a value outside its range.
    LimitError
        When the strength on the head exceeds 12 % H2O2 (40 vol).
    """

    kind: str = "cream"
    volume: Any = 20.0
    developer_parts: Any = None
    ph: Any = None
    boost: Any = None
    temperature_c: Any = 30.0
    tone: Mapping[str, float] | None = None
    tone_minutes: Any = None
    _volume: Any = field(init=False, repr=False)

    def __post_init__(self) -> None:
        check_choice("mixture", self.kind, KINDS)
        if self.developer_parts is None:
            object.__setattr__(self, "developer_parts", DEVELOPER_PARTS[self.kind])
        volume = self.volume
        if isinstance(volume, tuple):
            if not volume or any(np.shape(pair) != (2,) for pair in volume):
                raise LiftError("several developers are given as ((volume, parts), ...)")
            parts = check_range("developer and parts", volume, 0.0, 100.0)
            volume = mix_developers(parts[:, 0], parts[:, 1])
        store(self, "_volume", check_range("developer volume", volume, 0.0, 100.0, "vol"))
        if not isinstance(self.volume, tuple):
            object.__setattr__(self, "volume", self._volume)
        for name, low, high, unit in (
            ("developer_parts", 0.1, 10.0, "parts"),
            ("ph", 2.0, 13.0, ""),
            ("boost", 1.0, 20.0, ""),
            ("temperature_c", 10.0, 50.0, "C"),
            ("tone_minutes", 0.5, 60.0, "min"),
        ):
            value = getattr(self, name)
            if value is not None:
                store(self, name, check_range(name.replace("_", " "), value, low, high, unit))
        if self.tone is not None:
            doses = {
                check_choice("dye", dye, palette()): check_number(
                    f"dose of {dye}", dose, 0.0, MAX_DOSE
                )
                for dye, dose in self.tone.items()
            }
            object.__setattr__(self, "tone", MappingProxyType(doses))
        # The head sees the mixture, not the bottle: refuse before anything is computed.
        check_on_head(self.on_head_volume)

    @property
    def developer_volume(self) -> Any:
        """Strength of the developer [vol]; of several developers, of their mix."""
        return self._volume

    @property
    def on_head_volume(self) -> Floats:
        """Strength as it lies on the hair [vol], after mixing with the product."""
        return on_head_volume(self._volume, self.developer_parts)

    def replace(self, **changes: Any) -> Mixture:
        """Return the mixture with some fields changed; unknown names are refused."""
        names = [f.name for f in fields(self) if f.init]
        for key in changes:
            check_choice("mixture field", key, names)
        return replace(self, **changes)

    def properties(self, values: Values) -> dict[str, Any]:
        """Every property, with the curve set's where a field was not given.

        Parameters
        ----------
        values : mapping
            Parameter values of a curve set.

        Returns
        -------
        dict
            ``ph``, ``boost``, ``tone`` (dose by dye) and ``tone_minutes`` [min].
        """
        of_kind = self.kind.replace("-", "_")
        tone = self.tone
        if tone is None:
            tone = {"violet": values["base_break_violet_dose"]} if of_kind == "base_break" else {}
        boost = values["powder_boost"] if of_kind == "powder" else 1.0
        return {
            "ph": values[f"{of_kind}_ph"] if self.ph is None else self.ph,
            "boost": boost if self.boost is None else self.boost,
            "tone": dict(tone),
            "tone_minutes": values["tone_minutes"]
            if self.tone_minutes is None
            else self.tone_minutes,
        }


def tone_formed(minutes: Floats, dose: Any, tone_minutes: Any) -> Floats:
    """Dose formed after a time: ``dose (1 - exp(-t / tau))``, same unit as `dose`."""
    return np.asarray(dose * -np.expm1(-minutes / tone_minutes))
