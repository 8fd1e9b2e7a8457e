"""Zone: hair with one history and one goal, and how a mixture goes on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from lift.errors import LiftError, check_choice, check_number
from lift.model.hair import Hair
from lift.optics.colorimetry import chroma, hue_deg
from lift.optics.dyes import MAX_DOSE, palette
from lift.practice.goal import Goal
from lift.practice.service.reader import FieldError
from lift.practice.toning.fade import FADE_KINDS

MATCHES = ("darkest", "lightest")
MAX_SECTIONS = 200
PLACEMENT_RANGES = (
    ("seconds_per_section", 2.0, 900.0, "s"),
    ("section_thickness_mm", 0.5, 30.0, "mm"),
    ("rinse_seconds_per_section", 0.0, 900.0, "s"),
    ("grams_per_section", 0.5, 200.0, "g"),
)

Lab = tuple[float, float, float]
Blonde = float | Lab
"""A blonde as declared: a level (natural hair of it) or a CIELAB (D65, 10 degrees)."""


@dataclass(frozen=True)
class ZoneGoal:
    """What a zone is to become: a `Goal`, or the blonde of another zone.

    Parameters
    ----------
    goal : Goal
        Level or CIELAB and warmth allowance; with `match` only its allowance counts.
    match : tuple of (str, str), optional
        ``darkest`` or ``lightest``, and the zone whose blonde is to be matched.
    lighter_by : float, optional
        How much lighter than the goal still meets it [levels], 0.1 to 9; default: no end for a
        level or a CIELAB, and the assumed ``match_lighter_levels`` for a match.
    """

    goal: Goal = field(default_factory=Goal)
    match: tuple[str, str] | None = None
    lighter_by: float | None = None

    def __post_init__(self) -> None:
        if self.match is not None:
            check_choice("match", self.match[0], MATCHES)
            if self.goal.level is not None or self.goal.lab is not None:
                raise LiftError("a goal is a level, a CIELAB or a match, one of them only")
        if self.lighter_by is not None:
            check_number("lighter_by", self.lighter_by, 0.1, 9.0, "levels")
        lab = self.goal.lab
        if lab is not None and chroma(lab) > 6.0 and not 0.0 <= hue_deg(lab) <= 110.0:
            raise FieldError(
                ("lab",),
                f"goal CIELAB {lab[0]:g}, {lab[1]:g}, {lab[2]:g} has hue {hue_deg(lab):.0f} "
                "degrees; lightening exposes hues from 0 (red) to 110 (yellow) only",
            )


@dataclass(frozen=True)
class Placement:
    """How a mixture goes on, section after section.

    Parameters
    ----------
    sections : int
        Number of sections, 1 to 200.
    seconds_per_section : float
        Time to lay one, one pair of hands at working speed 1 [s], 2 to 900.
    section_thickness_mm : float
        Thickness of a section [mm], 0.5 to 30.
    rinse_seconds_per_section : float
        Time from rinsing (or wiping off) one section to the next, in the order laid [s], 0 to
        900; 0 means the whole zone at one moment.
    bowls : int
        Fresh bowls the sections are shared out to, 1 to 10, one after the other.
    grams_per_section : float
        Mixture on one section [g], 0.5 to 200.
    """

    sections: int = 1
    seconds_per_section: float = 60.0
    section_thickness_mm: float = 3.0
    rinse_seconds_per_section: float = 0.0
    bowls: int = 1
    grams_per_section: float = 6.0

    def __post_init__(self) -> None:
        for name, high in (("sections", MAX_SECTIONS), ("bowls", 10)):
            whole = check_number(name, getattr(self, name), 1, high)
            if whole != int(whole):
                raise LiftError(f"{name} {whole:g} is not a whole number")
            object.__setattr__(self, name, int(whole))
        for name, low, most, unit in PLACEMENT_RANGES:
            object.__setattr__(self, name, check_number(name, getattr(self, name), low, most, unit))
        if self.bowls > self.sections:
            raise FieldError(
                ("bowls",),
                f"bowls {self.bowls} is more than the {self.sections} sections; "
                f"nearest: {self.sections}",
            )


@dataclass(frozen=True, eq=False)
class Toner:
    """Tone laid on after rinsing.

    Parameters
    ----------
    kind : str
        ``direct`` or ``permanent``: how it washes out (``lift.practice.toning.fade``).
    doses : mapping of str to float, optional
        Dose of each dye band [0.01 absorption per fibre radius], 0 to 60; default: computed
        from the predicted colour.
    """

    kind: str = "direct"
    doses: Mapping[str, float] | None = None

    def __post_init__(self) -> None:
        check_choice("toner", self.kind, FADE_KINDS)
        if self.doses is not None:
            for dye, dose in self.doses.items():
                check_choice("dye", dye, palette())
                check_number(f"dose of {dye}", dose, 0.0, MAX_DOSE)
            object.__setattr__(self, "doses", MappingProxyType(dict(self.doses)))


@dataclass(frozen=True, eq=False)
class Zone:
    """Hair with one history and one goal.

    Parameters
    ----------
    name : str
        Name, unique in the scenario.
    part : str
        Part of the head it is seen in; zones woven into one part share its name.
    hair : Hair
        As it is before the service; single numbers.
    regrowth_mm : float, optional
        Length of regrowth [mm], 0.5 to 200; given for hair at the scalp only.
    length_mm : float, optional
        Length of other hair along the strand [mm], 1 to 1500.
    share : float
        Share of the part's hair that is in this zone [-], 0.01 to 1.
    beside : tuple of str
        Parts it lies beside.
    colour, darkest, lightest : tuple or float, optional
        Declared colour now, and declared darkest and lightest blonde in it.
    mixture : str, optional
        Name of the mixture that goes on; None: left alone.
    goal : ZoneGoal
        What it is to become.
    placement : Placement
        How the mixture goes on.
    toner : Toner, optional
        Tone laid on after rinsing; None: none.
    heat_c : float
        Added on the hair by hood, lamp or foil [C], 0 to 20.
    """

    name: str
    hair: Hair
    part: str = ""
    regrowth_mm: float | None = None
    length_mm: float | None = None
    share: float = 1.0
    beside: tuple[str, ...] = ()
    colour: Blonde | None = None
    darkest: Blonde | None = None
    lightest: Blonde | None = None
    mixture: str | None = None
    goal: ZoneGoal = field(default_factory=ZoneGoal)
    placement: Placement = field(default_factory=Placement)
    toner: Toner | None = None
    heat_c: float = 0.0

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise FieldError(("name",), "a zone needs a name")
        object.__setattr__(self, "part", self.part or self.name)
        check_number(f"share of zone {self.name}", self.share, 0.01, 1.0)
        check_number(f"heat on zone {self.name}", self.heat_c, 0.0, 20.0, "C")
        if self.length_mm is not None:
            check_number(f"length of zone {self.name}", self.length_mm, 1.0, 1500.0, "mm")
        if self.regrowth_mm is not None:
            check_number(f"regrowth of zone {self.name}", self.regrowth_mm, 0.5, 200.0, "mm")
            if self.hair.lightened_to is not None:
                raise FieldError(
                    ("lightened_to",),
                    f"zone {self.name} is regrowth, which has grown since the last visit, so it "
                    "cannot have been lightened before",
                )
        for what in ("colour", "darkest", "lightest"):
            _check_blonde(f"{what} of zone {self.name}", getattr(self, what))
        if self.mixture is not None and self.colour is not None:
            raise FieldError(
                ("colour",),
                f"zone {self.name} has a mixture and a declared colour; its colour is predicted, "
                "so give one of them only",
            )
        if self.mixture is None and self.toner is not None:
            raise FieldError(
                ("toner",),
                f"zone {self.name} has a toner but no mixture; give the colour it has after "
                "toning as its colour",
            )
        level = self.goal.goal.level
        now = float(self.hair.level if self.hair.lightened_to is None else self.hair.lightened_to)
        if self.mixture is not None and level is not None and level < now - 0.5:
            raise FieldError(
                ("goal", "level"),
                f"goal level {level:g} of zone {self.name} is darker than its hair, level {now:g}; "
                f"lightening cannot darken; nearest: {now:g}",
            )

    @property
    def treated(self) -> bool:
        """Whether a mixture goes on."""
        return self.mixture is not None


def _check_blonde(name: str, blonde: Blonde | None) -> None:
    if blonde is None:
        return
    if np.ndim(blonde) == 0:
        check_number(f"{name}, level", blonde, 1.0, 12.0)
        return
    if np.shape(blonde) != (3,):
        raise LiftError(f"{name} {blonde!r} is not a level nor three numbers L*, a*, b*")
    for axis, value, low, high in zip(
        ("L*", "a*", "b*"), np.asarray(blonde), (0, -60, -60), (100, 60, 80), strict=True
    ):
        check_number(f"{name}, {axis}", value, low, high)
