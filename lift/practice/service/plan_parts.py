"""Parts of a plan: sections, bowls, zones, changes and steps, each with its JSON form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lift.practice.preview import rounded, tone_to_dict
from lift.practice.service.zone import Lab, Zone
from lift.practice.tone import ToneDirection


@dataclass(frozen=True)
class SectionPlan:
    """One section of a zone; clock times count from the start of the service [min].

    Parameters
    ----------
    number : int
        Number in its zone, from 1, in the order laid.
    bowl : int
        Bowl of the zone it is laid from, from 1.
    strength : float
        Strength left in the bowl when it is laid, per strength freshly mixed [-].
    starts, ends : float
        When its laying begins and ends, on the clock [min].
    rinsed : float
        When it is rinsed, on the clock [min].
    minutes : float
        Its own processing time at the rinse [min], from the first touch.
    opens, closes : float or None
        Its window, as own processing time of the expected strands [min]; None: never reached.
    closes_by : str
        ``warmth``, ``lightness`` or ``time limit``.
    inside : bool
        Whether the expected strands are inside at the rinse.
    p_inside, p_too_far : float
        Probability of being inside, and of being past the close, at the rinse.
    lab : tuple
        CIELAB as seen at the rinse.
    level, lift, warmth : float
        Mean of its expected strands at the rinse [-, levels, dC*].
    spread : float
        Lift of its best coated less that of its least coated strands [levels].
    """

    number: int
    bowl: int
    strength: float
    starts: float
    ends: float
    rinsed: float
    minutes: float
    opens: float | None
    closes: float | None
    closes_by: str
    inside: bool
    p_inside: float
    p_too_far: float
    lab: Lab
    level: float
    lift: float
    warmth: float
    spread: float

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return plain(vars(self))


@dataclass(frozen=True)
class Bowl:
    """How far one bowl goes.

    Parameters
    ----------
    serves : int
        Sections, laid from one bowl, that all have a common time inside when rinsed.
    lasts : int
        Sections until the mixture is too weak for a window of their own.
    ends_by : str
        ``window`` (the first closes before the next opens), ``strength`` or ``none``.
    grams : float
        Mixture of one bowl as planned [g].
    product_grams, developer_grams : float
        Product and developer in it [g]; parts by weight are taken as parts by volume.
    bowls : int
        Fresh bowls planned.
    """

    serves: int
    lasts: int
    ends_by: str
    grams: float
    product_grams: float
    developer_grams: float
    bowls: int


@dataclass(frozen=True, eq=False)
class ZonePlan:
    """One treated zone; clock times count from the start of the service [min].

    Parameters
    ----------
    zone : Zone
        As planned.
    goal : str
        The goal in words.
    target : tuple or None
        CIELAB of the goal where it is a colour.
    warmth_limit : float
        Largest welcome warmth [dC*].
    starts, laid, rinsed : float
        When it is begun, when it is all on, and when its rinse begins, on the clock.
    minutes : float
        Longest processing time of a section at the rinse [min].
    earliest, latest : float or None
        Clock times between which every section's expected strands are inside; None: the goal is
        not reached within the limit.
    latest_safe : float
        Clock time until which no section is past its close, nine times in ten.
    closes_by : str
        What closes the zone's window first.
    inside : bool
        Whether all expected strands are inside at the rinse.
    p_inside, p_too_far : float
        Probability that every section is inside, and that one is past its close, at the rinse.
    sections : tuple of SectionPlan
        In the order laid.
    lab : tuple
        CIELAB as seen at the rinse.
    level, lift, warmth, spread : float
        Mean level, lift and warmth, and spread of lift between its most and least lifted strands.
    stage : str
        Stage of the underpigment at the rinse.
    tone : ToneDirection
        From its colour to its target, or to natural hair of the same lightness.
    toner : mapping of str to float
        Dose of each dye of the toner laid on after rinsing; empty for none.
    after : tuple
        CIELAB as seen after toning.
    bowl : Bowl
        How far one bowl goes.
    """

    zone: Zone
    goal: str
    target: Lab | None
    warmth_limit: float
    starts: float
    laid: float
    rinsed: float
    minutes: float
    earliest: float | None
    latest: float
    latest_safe: float
    closes_by: str
    inside: bool
    p_inside: float
    p_too_far: float
    sections: tuple[SectionPlan, ...]
    lab: Lab
    level: float
    lift: float
    warmth: float
    spread: float
    stage: str
    tone: ToneDirection
    toner: Mapping[str, float]
    after: Lab
    bowl: Bowl

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        own = {
            k: v
            for k, v in vars(self).items()
            if k not in ("zone", "sections", "tone", "toner", "bowl")
        }
        return {
            "zone": self.zone.name,
            "part": self.zone.part,
            "mixture": self.zone.mixture,
            **plain(own),
            "tone": tone_to_dict(self.tone),
            "toner": plain(self.toner),
            "bowl": plain(vars(self.bowl)),
            "sections": [s.to_dict() for s in self.sections],
        }


@dataclass(frozen=True)
class Change:
    """A change to the scenario, computed.

    Parameters
    ----------
    kind : str
        ``weaker developer``, ``two bowls``, ``split the zone``, ``assistant``,
        ``rinse in the order laid`` or ``rinse zone by zone``; several joined by `` and ``.
    text : str
        One sentence for the stylist.
    works : bool
        Whether all expected strands are then inside.
    p_inside : float
        Probability that every section is then inside.
    total_minutes : float
        Length of the service then [min].
    cost : float
        Person-minutes it adds, a further bowl counted with its mixing [min].
    """

    kind: str
    text: str
    works: bool
    p_inside: float
    total_minutes: float
    cost: float

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return plain(vars(self))


@dataclass(frozen=True)
class Step:
    """One thing to do, on the service's clock.

    Parameters
    ----------
    kind : str
        ``mix``, ``lay`` or ``rinse``.
    zone : str
        Zone; empty for rinsing everything.
    sections : tuple of int
        Numbers of the sections laid together, from 1.
    at, until : float
        When [min].
    """

    kind: str
    zone: str
    sections: tuple[int, ...]
    at: float
    until: float

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return plain(vars(self))


def plain(values: Mapping[str, Any]) -> dict[str, Any]:
    """Values as JSON takes them, numbers rounded."""
    return {
        key: rounded(value)
        if isinstance(value, float)
        or (isinstance(value, tuple) and all(isinstance(v, float) for v in value))
        else list(value)
        if isinstance(value, tuple)
        else value
        for key, value in values.items()
    }
