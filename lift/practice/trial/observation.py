"""Observation: what was seen of a strand, how sure that is, and what it cannot be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.doors import checked
from lift.errors import Floats, LiftError, check_number
from lift.model.curves import CurveSet
from lift.model.ensemble import apply_latent
from lift.model.frozen import store
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import natural_path
from lift.model.trajectory import Trajectory, simulate
from lift.quantities import MINUTES, Lab
from lift.words import Note, note

EYE_SD = 0.3
"""A level judged by eye is good to about half a level, nine times in ten: common practice (no
source); half a level over 1.645 is 0.3 levels."""

LOOKED = replace(MINUTES, name="looked_minutes", typed="")
SEEN_LAB = (("L*", 0.0, 100.0), ("a*", -60.0, 60.0), ("b*", -60.0, 80.0))
"""Ranges of a CIELAB that hair shows."""

CHART_END = 10.0
"""No chart has a step lighter than level 10: what is lighter is read as 10, give or take."""

INSTRUMENT_SD = (0.7, 0.3, 0.2)
"""L*, a*, b* of readings on one tress: largest sd of the two rows printed in J. Cosmet. Sci. 51
(2000), p. 293, Table III (``reference/hair_colour_measured.csv``), rounded."""

MODEL_SD = (1.0, 2.0, 2.0)
"""L*, a*, b* by which the optics may miss a strand: assumed. The two published tresses are missed
by 0.6 to 0.9; no published table gives CIELAB of lightened hair against time."""

SURE, UNSURE = 0.01, 30.0
"""Range of the standard deviation of a colour that is read."""

GIVE_OR_TAKE = ("\u00b1", "+-")
"""What stands before the standard deviations of a colour as typed."""

COMPARED_SD = (1.0, 3.0, 3.0)
"""L*, a*, b* of an eye that compares hair with natural swatches of named levels, half a level
apart: assumed. Nearer which of two is lightness to a quarter of a level or so, about 1 L*; how much
warmer than both is seen coarsely."""

PHOTOGRAPH_SD = (0.7, 0.7, 1.3)
"""L*, a*, b* of a photograph with a chart in it: median of what `lift.measure` tells of computed
photographs (`lift.make.photographs`, uneven light) of hair lighter than L* 45, rounded.
A photograph that was taken has its own."""

READINGS: dict[str, tuple[float, ...]] = {
    "eye": (EYE_SD,),
    "swatch": tuple(map(float, np.hypot(COMPARED_SD, MODEL_SD))),
    "photograph": tuple(map(float, np.hypot(PHOTOGRAPH_SD, MODEL_SD))),
    "instrument": tuple(map(float, np.hypot(INSTRUMENT_SD, MODEL_SD))),
}
"""Standard deviations of what is read, coarsest first: a level by eye, else CIELAB."""

BEYOND = 3.29
"""Standard deviations that a reading passes once in a thousand times, to either side."""


@checked
@dataclass(frozen=True)
class Observation:
    """A level or a CIELAB seen on a strand.

    Parameters
    ----------
    minutes : float
        Processing time [min].
    level : float, optional
        Level judged by eye [-], of the pigmented fibres; 10 stands for 10 or lighter.
    lab : tuple of float, optional
        CIELAB (D65, 10 degrees), by instrument or measured in a photograph.
    lab_sd : tuple of float, optional
        Standard deviations of that reading, where they are known, as of a photograph; else
        `INSTRUMENT_SD`.

    Raises
    ------
    LiftError
        For a value out of range, or when not exactly one of level and lab is given.

    Examples
    --------
    >>> from lift import Observation
    >>> print(Observation(5, level=7.5).note)
    level 7.5 at 5 min
    """

    minutes: float
    level: float | None = None
    lab: Lab | None = None
    lab_sd: Lab | None = None

    def __post_init__(self) -> None:
        store(self, "minutes", LOOKED.number(self.minutes))
        if (self.level is None) == (self.lab is None):
            raise LiftError("observation.one_of_two")
        if self.level is not None:
            store(self, "level", _level(self.level))
        if self.lab is not None:
            if np.shape(self.lab) != (3,):
                raise LiftError("observation.three_numbers", value=self.lab)
            lab = tuple(
                check_number(note("observation.axis", axis=axis), number, low, high)
                for (axis, low, high), number in zip(SEEN_LAB, self.lab, strict=True)
            )
            store(self, "lab", lab)
        if self.lab_sd is not None:
            if self.lab is None or np.shape(self.lab_sd) != (3,):
                raise LiftError("observation.three_sd", value=self.lab_sd)
            sd = tuple(
                check_number(note("observation.axis_sd", axis=axis), number, SURE, UNSURE)
                for (axis, _, _), number in zip(SEEN_LAB, self.lab_sd, strict=True)
            )
            store(self, "lab_sd", sd)

    @property
    def numbers(self) -> Floats:
        """What was read, shape (1,) or (3,)."""
        return np.array([self.level] if self.lab is None else self.lab, dtype=np.float64)

    @property
    def sd(self) -> Floats:
        """Standard deviation of each number, shape (1,) or (3,)."""
        if self.lab is None:
            return np.array([EYE_SD])
        return np.hypot(INSTRUMENT_SD if self.lab_sd is None else self.lab_sd, MODEL_SD)

    @property
    def reading(self) -> str:
        """Which of `READINGS` it is: an eye's, a photograph's or an instrument's."""
        if self.lab is None:
            return "eye"
        return "instrument" if self.lab_sd is None else "photograph"

    @property
    def seen(self) -> Note:
        """What was read, without the time."""
        if self.lab is None:
            return note("observation.level", level=self.level)
        colour = note("observation.lab", **_axes(self.lab))
        if self.lab_sd is None:
            return colour
        return note("observation.measured", colour=colour, **_axes(self.lab_sd))

    @property
    def note(self) -> Note:
        """What was read, and when."""
        return note("observation.at", seen=self.seen, minutes=self.minutes)


def _axes(colour: Lab) -> dict[str, float]:
    return dict(zip(("lightness", "a", "b"), colour, strict=True))


def _level(value: Any) -> float:
    return check_number(
        "observation.level_seen", value, 1.0, CHART_END, hint="observation.chart_end"
    )


def parse_seen(text: str) -> Observation:
    """Read an observation as typed: ``5:7.5`` or ``5:48,8,22`` (minutes, then what was seen)."""
    time, colon, what = text.partition(":")
    if not colon or not time.strip() or not _is_form(what):
        raise LiftError("observation.form", value=text)
    return observation(time, what)


def observation(minutes: Any, what: str) -> Observation:
    """Build an observation from a time [min] and what was seen as typed.

    That is a level, ``7.5``, or a CIELAB, ``48,8,22``, whose standard deviations may stand behind
    it: ``48,8,22+-0.9,0.5,1.8``.
    """
    time = LOOKED.number(minutes)
    if not _is_form(what):
        raise LiftError("observation.seen_form", value=what)
    colour, sd = _parts(what)
    if len(colour) == 1:
        return Observation(time, _level(what))
    read: Any = tuple(colour), tuple(sd) if sd else None
    return Observation(time, None, *read)


def observation_text(seen: Observation) -> str:
    """What was seen as it is typed: `observation` reads it."""
    typed = ",".join(f"{number:g}" for number in seen.numbers)
    if seen.lab_sd is None:
        return typed
    return f"{typed}{GIVE_OR_TAKE[0]}{','.join(f'{sd:g}' for sd in seen.lab_sd)}"


def _parts(what: str) -> tuple[list[str], list[str]]:
    """Numbers as typed, and those behind a give or take."""
    for sign in GIVE_OR_TAKE:
        what = what.replace(sign, GIVE_OR_TAKE[0])
    colour, sign, sd = what.partition(GIVE_OR_TAKE[0])
    return colour.split(","), sd.split(",") if sign else []


def _is_form(what: str) -> bool:
    colour, sd = _parts(what)
    whole = all(part.strip() for part in (*colour, *sd))
    return whole and (len(colour), len(sd)) in ((1, 0), (3, 0), (3, 3))


def predicted(
    hair: Hair,
    mixture: Mixture,
    minutes: Floats,
    curves: CurveSet,
    latent: Floats,
    *,
    by_eye: bool,
) -> Floats:
    """What each member would show at given times.

    The eye reads the level of the pigmented fibres with the tone on them, up to the end of its
    chart; the instrument reads both kinds of fibres as they blend.

    Parameters
    ----------
    minutes : numpy.ndarray
        Processing times [min], shape (times,).
    latent : numpy.ndarray
        Deviates, shape (members, 5).

    Returns
    -------
    numpy.ndarray
        Shape (members, times, 1) [levels] or (members, times, 3) [CIELAB].
    """
    strands, values = apply_latent(hair, curves, latent)
    shown = simulate(strands, mixture, minutes, curves, values=values)
    return chart_level(shown)[..., None] if by_eye else shown.lab


def chart_level(shown: Trajectory, bias: Floats | float = 0.0) -> Floats:
    """Level that an eye reads off pigmented fibres.

    Parameters
    ----------
    shown : Trajectory
        Of what was looked at; tone may lie on it.
    bias : float or numpy.ndarray
        Levels by which the eye reads too dark [levels], broadcasting.

    Returns
    -------
    numpy.ndarray
        Level [-], at most `CHART_END`.
    """
    level = natural_path(shown.curves).level_of_lightness
    veil = level(shown.pigmented[..., 0]) - level(shown.underpigment[..., 0])
    return np.minimum(shown.level + veil - bias, CHART_END)


def residuals(
    hair: Hair,
    mixture: Mixture,
    observations: Sequence[Observation],
    curves: CurveSet,
    latent: Floats,
) -> Floats:
    """Seen minus predicted, in standard deviations.

    Returns
    -------
    numpy.ndarray
        Shape (members, numbers): one number for a level, three for a CIELAB, as ordered.
    """
    parts: list[Floats] = [np.empty(0)] * len(observations)
    for by_eye in (True, False):
        which = [i for i, o in enumerate(observations) if (o.lab is None) == by_eye]
        if not which:
            continue
        times = np.array([observations[i].minutes for i in which])
        shown = predicted(hair, mixture, times, curves, latent, by_eye=by_eye)
        for column, i in enumerate(which):
            parts[i] = (observations[i].numbers - shown[:, column]) / observations[i].sd
    return np.concatenate(parts, axis=1)


def level_of(seen: Floats, curves: CurveSet) -> float:
    """Level [-] of a reading: itself, or that of natural hair of its L*."""
    if seen.size == 1:
        return float(seen[0])
    return float(natural_path(curves).level_of_lightness(seen[0]))
