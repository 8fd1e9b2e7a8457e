"""Regrowth: how fast it grows, and how its band shows as it widens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, check_range
from lift.optics.colorimetry import delta_e_2000
from lift.practice.preview import rounded
from lift.practice.service.zone_work import mean_lab
from lift.practice.window import first_crossing

USUAL_MM = (12.0, 25.0)
"""Regrowth of a refresh client [mm]: common practice (no source)."""


def regrowth_mm(weeks: ArrayLike, growth_mm_per_day: float = 0.35) -> Floats:
    """Length grown since the service [mm], any shape.

    Parameters
    ----------
    weeks : array_like
        Time since the service [weeks], 0 to 520.
    growth_mm_per_day : float
        Growth [mm/day]; 0.35 (Vogt et al.).

    Raises
    ------
    LiftError
        For a value out of range.
    """
    growth = check_range("growth", growth_mm_per_day, 0.05, 1.0, "mm/day")
    return check_range("time", weeks, 0.0, 520.0, "weeks") * 7.0 * growth


def weeks_of_regrowth(length_mm: ArrayLike, growth_mm_per_day: float = 0.35) -> Floats:
    """Time in which a length grows [weeks], any shape; inverse of `regrowth_mm`."""
    growth = check_range("growth", growth_mm_per_day, 0.05, 1.0, "mm/day")
    return check_range("regrowth", length_mm, 0.0, 1500.0, "mm") / (7.0 * growth)


def viewing_field_mm(distance_mm: float, field_deg: float) -> float:
    """Width on the head over which the eye averages [mm]: a field angle seen from a distance."""
    return float(2.0 * distance_mm * np.tan(np.radians(0.5 * field_deg)))


@dataclass(frozen=True, eq=False)
class Demarcation:
    """How the regrowth of one part shows against the hair it grows from under.

    Parameters
    ----------
    part : str
        Part at the scalp.
    weeks, band_mm : numpy.ndarray
        Time since the service [weeks] and width of the regrowth [mm], shape (n,).
    side_by_side : numpy.ndarray
        CIEDE2000 of regrowth and hair beside it, however narrow the band, shape (n,).
    seen : numpy.ndarray
        CIEDE2000 as seen along a parting, where the eye averages over its field, shape (n,).
    limit : float
        CIEDE2000 at which the base is broken again.
    due_weeks, due_mm : float or None
        When `seen` reaches the limit [weeks], and the regrowth then [mm]; None: not by the end.
    """

    part: str
    weeks: Floats
    band_mm: Floats
    side_by_side: Floats
    seen: Floats
    limit: float
    due_weeks: float | None
    due_mm: float | None

    @property
    def words(self) -> str:
        """When the base needs breaking again, in a sentence."""
        if self.due_weeks is None:
            return (
                f"{self.part}: the regrowth stays below {self.limit:g} dE00 for "
                f"{self.weeks[-1]:.0f} weeks; no visit is due for its sake."
            )
        return (
            f"{self.part}: break the base again after about {self.due_weeks:.0f} weeks, at "
            f"{self.due_mm:.0f} mm of regrowth, when its contrast as seen reaches "
            f"{self.limit:g} dE00."
        )

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "part": self.part,
            "weeks": rounded(self.weeks),
            "band_mm": rounded(self.band_mm),
            "side_by_side": rounded(self.side_by_side),
            "seen": rounded(self.seen),
            "limit": self.limit,
            "due_weeks": rounded(self.due_weeks),
            "due_mm": rounded(self.due_mm),
            "words": self.words,
        }


def demarcation(
    part: str,
    treated: Floats,
    natural: Floats,
    weeks: Floats,
    band_mm: Floats,
    field_mm: float,
    limit: float,
) -> Demarcation:
    """Contrast of a band of natural hair against treated hair as it widens.

    The eye averages over its field, linearly in what is reflected. Along a parting regrowth
    shows on both sides, so a band of width w fills ``2 w / field`` of it, until it fills all.

    Parameters
    ----------
    part : str
        Name shown.
    treated : numpy.ndarray
        CIELAB of the hair below the band, shape (n, 3) or (3,).
    natural : numpy.ndarray
        CIELAB of the regrowth, shape (3,).
    weeks, band_mm : numpy.ndarray
        Times [weeks] and widths [mm], shape (n,).
    field_mm : float
        Width over which the eye averages [mm].
    limit : float
        CIEDE2000 at which the base is broken again.

    Returns
    -------
    Demarcation
    """
    treated = np.broadcast_to(treated, (weeks.size, 3))
    share = np.minimum(2.0 * band_mm / field_mm, 1.0)
    both = np.stack(np.broadcast_arrays(natural, treated))
    averaged = mean_lab(both, weights=np.stack([share, 1.0 - share]))
    seen = delta_e_2000(averaged, treated)
    due = first_week(weeks, seen - limit)
    return Demarcation(
        part=part,
        weeks=weeks,
        band_mm=band_mm,
        side_by_side=delta_e_2000(natural, treated),
        seen=seen,
        limit=limit,
        due_weeks=due,
        due_mm=None if due is None else float(np.interp(due, weeks, band_mm)),
    )


def first_week(weeks: Floats, margin: Floats) -> float | None:
    """First time at which a margin is above 0 [weeks]; None when it never is."""
    at = float(first_crossing(weeks, margin))
    return at if np.isfinite(at) else None
