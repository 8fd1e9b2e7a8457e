"""Tone direction: which change answers the warmth."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import Floats
from lift.model.curves import CurveSet, default_curves
from lift.model.natural import natural_path
from lift.optics.colorimetry import NOTICEABLE, hue_deg
from lift.optics.hue_names import munsell_hue
from lift.practice.wheel import wheel_degrees, wheel_family
from lift.quantities import check_labs
from lift.results import Result

NATURAL = "natural"
"""Cast of hair that has none beside natural hair."""


@checked
@dataclass(frozen=True, eq=False, repr=False)
class ToneDirection(Result):
    """The change in colour that is needed; arrays share the broadcast shape (...).

    Parameters
    ----------
    change : numpy.ndarray
        CIELAB change from hair to goal, shape (..., 3).
    hue_deg : numpy.ndarray
        CIELAB hue angle of the change [degrees]: the tone direction.
    munsell : str or numpy.ndarray of str
        Munsell hue of that angle.
    wheel : str or numpy.ndarray of str
        Painter's-wheel family opposite to the excess colour.
    amount : numpy.ndarray
        Size of the change in the a*b* plane [CIELAB units].
    excess_hue_deg : numpy.ndarray
        CIELAB hue angle of what is too much [degrees], opposite to `hue_deg`.
    excess_wheel : str or numpy.ndarray of str
        Painter's-wheel family of what is too much.
    needed : bool or numpy.ndarray of bool
        Whether the amount is noticeable (1 CIELAB unit or more).

    Examples
    --------
    >>> tone_direction([50, 20, 40], [50, 8, 24]).change
    array([  0., -12., -16.])
    """

    change: Floats
    hue_deg: Floats
    munsell: Any
    wheel: Any
    amount: Floats
    excess_hue_deg: Floats
    excess_wheel: Any
    needed: Any

    def __getitem__(self, index: int) -> ToneDirection:
        """Return one element of an array of directions."""
        return ToneDirection(*(getattr(self, f.name)[index] for f in fields(self)))


def tone_direction(
    lab: ArrayLike, goal: ArrayLike | None = None, curves: CurveSet | None = None
) -> ToneDirection:
    """Find the tone direction that answers a colour.

    In CIELAB the opposite of a colour's excess is the straight way back: excess warmth of hair
    has hue angles of about 35 to 70 degrees, so the change points to about 215 to 250 degrees,
    blue-green to purple-blue. The painter's wheel names the paint to mix in: green for red, blue
    for orange, violet for yellow. It describes how paints darken one another on white, and its
    red to yellow is spread wide where CIELAB's is narrow. So the angle tells what must change, and
    the family what the trade says of it; which dye does it on hair is a matter of absorption bands
    and not always the wheel's: see `lift.practice.wheel_and_dye`.

    Parameters
    ----------
    lab : array_like
        CIELAB of the hair (D65, 10 degrees), shape (..., 3).
    goal : array_like, optional
        CIELAB wanted, shape (..., 3). Default: natural hair of the same L*, which is brown to
        blond and not grey: for hair, neutral lies in the first quadrant of a*b* (Acta
        Psychologica 2023, judgment of dyed hair colour).
    curves : CurveSet, optional
        Default: the shipped set.

    Examples
    --------
    >>> tone_direction([56, 10, 36]).wheel
    'violet'
    """
    curves = curves or default_curves()
    hair = check_labs(lab, "tone.hair")
    wanted = (
        natural_path(curves).lab_of_lightness(hair[..., 0])
        if goal is None
        else check_labs(goal, "tone.goal")
    )
    change = wanted - hair
    amount = np.hypot(change[..., 1], change[..., 2])
    direction = hue_deg(change)
    excess = np.mod(direction + 180.0, 360.0)
    position = wheel_degrees(excess, hair[..., 0], curves)
    needed = amount >= NOTICEABLE
    return ToneDirection(
        change=change,
        hue_deg=direction,
        munsell=munsell_hue(direction),
        wheel=wheel_family(position + 180.0),
        amount=amount,
        excess_hue_deg=excess,
        excess_wheel=wheel_family(position),
        needed=bool(needed) if needed.ndim == 0 else needed,
    )
