"""Outcome: what a zone looks like after rinsing and toning, and as the tone washes out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.strand import Pigment, strand_lab
from lift.model.trajectory import Trajectory
from lift.optics.dyes import palette
from lift.practice.service.zone import Lab, Toner
from lift.practice.service.zone_work import ZoneWork, mean_lab
from lift.practice.toning.dose_search import QUICK_ROUNDS, best_doses, residual_to
from lift.practice.toning.fade import FADE_KINDS, left_after

MIXTURE_TONE = "permanent"
"""How tone that formed in the mixture washes out: it is made by oxidation, as permanent colour."""


@dataclass(frozen=True, eq=False)
class Outcome:
    """A treated zone after its rinse.

    Parameters
    ----------
    work : ZoneWork
        The zone.
    strands : Trajectory
        Expected strands at the rinse, shape (sections, 5), as `ZoneWork.strands`.
    members : Trajectory
        Middle strands of the members, shape (1 + members, sections), as `ZoneWork.members`.
    toner : mapping of str to float
        Dose of each dye laid on after rinsing [0.01 absorption per fibre radius]; may be empty.
    """

    work: ZoneWork
    strands: Trajectory
    members: Trajectory
    toner: Mapping[str, float]

    @property
    def carries_tone(self) -> bool:
        """Whether any tone is in the hair that can wash out."""
        return any(dose > 0.0 for dose in self.toner.values()) or any(
            np.any(dose > 0.0) for dose in self.strands.tone.values()
        )

    def lab_after(self, weeks: ArrayLike = 0.0, washes_per_week: float = 0.0) -> Floats:
        """CIELAB as seen, toner included, some time after the service.

        Parameters
        ----------
        weeks : array_like
            Time since the service [weeks], shape (n,) or a number.
        washes_per_week : float
            Washes a week [1/week].

        Returns
        -------
        numpy.ndarray
            Shape (n, 3) or (3,).
        """
        washes = np.asarray(weeks, dtype=np.float64) * washes_per_week
        middle = slice(1, -1)
        pigment, tone = _some(self.strands, (slice(None), middle))
        shape = (..., *(None,) * washes.ndim)
        kind = "direct" if self.work.zone.toner is None else self.work.zone.toner.kind
        lab = strand_lab(
            Pigment(*(p[shape] for p in pigment)),
            self.work.curves.values,
            tone=_add(
                {k: v[shape] * left_after(washes, _rate(MIXTURE_TONE)) for k, v in tone.items()},
                {k: v * left_after(washes, _rate(kind)) for k, v in self.toner.items()},
            ),
            grey_percent=self.work.zone.hair.grey_percent,
        )
        return mean_lab(mean_lab(lab))

    def members_after(self) -> Floats:
        """CIELAB as seen after toning, expected first, shape (1 + members, 3)."""
        pigment, tone = _some(self.members, (slice(None), slice(None)))
        lab = strand_lab(
            Pigment(*pigment),
            self.work.curves.values,
            tone=_add(tone, self.toner),
            grey_percent=self.work.zone.hair.grey_percent,
        )
        return mean_lab(lab, axis=1)


def outcome(work: ZoneWork, rinse_after: float, target: Lab | None) -> Outcome:
    """Rinse and tone a zone.

    Parameters
    ----------
    work : ZoneWork
        The zone.
    rinse_after : float
        Time from its start to its rinse [min].
    target : tuple or None
        CIELAB it is to have; None: natural hair of the lightness toning ends with. A toner
        without doses gets the single dye that comes nearest.

    Returns
    -------
    Outcome
    """
    strands = work.strands(rinse_after)
    return Outcome(
        work=work,
        strands=strands,
        members=work.members(rinse_after),
        toner=_doses(work.zone.toner, strands, target, work),
    )


def _doses(
    toner: Toner | None, strands: Trajectory, target: Lab | None, work: ZoneWork
) -> Mapping[str, float]:
    if toner is None:
        return {}
    if toner.doses is not None:
        return toner.doses
    pigment, _ = _some(strands, (slice(None), slice(1, -1)))
    typical = Pigment(*(np.asarray(p.mean()) for p in pigment))
    found = best_doses(
        typical,
        tuple(palette()),
        1,
        residual_to(target, work.curves),
        work.curves.values,
        grey_percent=work.zone.hair.grey_percent,
        rounds=QUICK_ROUNDS,
    )
    return found.named()


def _some(
    strands: Trajectory, index: tuple[slice, slice]
) -> tuple[tuple[Floats, Floats, Floats], dict[str, Floats]]:
    shape = strands.lift.shape

    def take(values: Floats) -> Floats:
        return np.broadcast_to(values, shape)[index]

    pigment = strands.pigment
    return (
        (take(pigment.eumelanin), take(pigment.pheomelanin), take(pigment.half_oxidised)),
        {dye: take(dose) for dye, dose in strands.tone.items()},
    )


def _add(tone: Mapping[str, Floats], more: Mapping[str, Floats | float]) -> dict[str, Floats]:
    return {dye: np.asarray(tone.get(dye, 0.0) + more.get(dye, 0.0)) for dye in {**tone, **more}}


def _rate(kind: str) -> float:
    return FADE_KINDS[kind].rate
