"""Kinds of tone: how each comes into hair and how each leaves it, as chemistry and no product.

Permanent tone is formed in the fibre by peroxide and alkali, from parts that are small enough to
get in and then too large to get out. Demi-permanent tone is formed there too, with little peroxide
and little or no alkali: it deposits and does not lighten, less far in, and washes out over weeks.
Direct tone is a dye already: it is laid in as it is, and nothing holds it but its own affinity.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from lift.words import Note, note

FADED_LEFT = 0.1
"""Share of the tone left when it is called faded: assumed, as the sources give no share."""


@dataclass(frozen=True)
class ToneDeveloper:
    """What an oxidative tone is mixed with, as the trade has it.

    Parameters
    ----------
    volumes : tuple of float
        Usual strengths, lowest and highest [vol].
    parts : tuple of float
        Usual parts of developer to one of toner, fewest and most [-].
    status : str
        Standing of both: rules of thumb, kept from memory.
    """

    volumes: tuple[float, float]
    parts: tuple[float, float]
    status: str = "common practice"


@dataclass(frozen=True)
class ToneKind:
    """One kind of tone: ``formed = 1 - exp(-t / minutes)``, ``left = exp(-rate washes)``.

    Parameters
    ----------
    name : str
        ``permanent``, ``demi-permanent`` or ``direct``.
    ph : tuple of float
        pH that such tones have on the hair, lowest and highest [-]: common practice, from memory.
    swelling : float
        Share of the swelling by alkali that quickens uptake [0 to 1]: assumed.
    rate, slowest, fastest : float
        Share lost per wash, as a rate [1/wash]; expected, and the ends of what the source says.
        That the loss is the same share each wash is assumed.
    developer : ToneDeveloper or None
        What it is mixed with; None: it is used as it is.
    status : str
        Standing of the washes.
    """

    name: str
    ph: tuple[float, float]
    swelling: float
    rate: float
    slowest: float
    fastest: float
    developer: ToneDeveloper | None
    status: str = "published"

    @property
    def source(self) -> Note:
        """Where the washes come from."""
        return note(f"fade.source.{self.name}")

    @property
    def words(self) -> Note:
        """What it is, in a sentence."""
        low, high = self.ph
        return note(f"tone_kind.{self.name}", low=low, high=high)

    def minutes(self, values: Mapping[str, float]) -> float:
        """Time constant with which it comes into hair [min], assumed.

        Alkali swells hair and lets things in faster, by the curve set's ``swelling_gain``; its
        ``tone_minutes`` [min] is that of tone in an alkaline mixture.
        """
        gain = float(values["swelling_gain"])
        return float(values["tone_minutes"]) * gain / (1.0 + self.swelling * (gain - 1.0))


def _of(washes: float) -> float:
    """Rate [1/wash] of what is faded after so many washes."""
    return float(-np.log(FADED_LEFT)) / washes


_PERMANENT = float(-np.log(0.9) / 30.0)
_LOW_VOLUME = ToneDeveloper(volumes=(5.0, 10.0), parts=(1.0, 2.0))

TONE_KINDS: Mapping[str, ToneKind] = MappingProxyType(
    {
        each.name: each
        for each in (
            ToneKind("permanent", (9.0, 10.5), 1.0, _PERMANENT, 0.0, _PERMANENT, _LOW_VOLUME),
            ToneKind(
                *("demi-permanent", (6.0, 9.0), 0.5),
                *(_of(18.0), _of(24.0), _of(12.0)),
                _LOW_VOLUME,
                status="common practice",
            ),
            ToneKind("direct", (5.0, 8.0), 0.0, _of(7.0), _of(8.0), _of(6.0), None),
        )
    }
)
"""Kinds of tone, what lasts longest first."""
