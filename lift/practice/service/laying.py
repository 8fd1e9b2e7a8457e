"""Laying: when each section goes on, and how strong its mixture still is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lift.chemistry.depletion import strength_left
from lift.errors import Floats
from lift.practice.service.scenario import Salon
from lift.practice.service.zone import Placement


@dataclass(frozen=True, eq=False)
class Laying:
    """Sections of one zone, in the order laid; times from the start of the zone.

    Parameters
    ----------
    starts, ends : numpy.ndarray
        When the laying of each section begins and ends [min], shape (sections,).
    strength : numpy.ndarray
        Strength of its mixture per strength when freshly mixed [-], shape (sections,).
    bowl : numpy.ndarray of int
        Which bowl it is laid from, from 1, shape (sections,).
    rinse_after : numpy.ndarray
        How long after the start of the zone's rinse it is rinsed [min], shape (sections,).
    """

    starts: Floats
    ends: Floats
    strength: Floats
    bowl: np.ndarray[tuple[int], np.dtype[np.int64]]
    rinse_after: Floats

    @property
    def minutes(self) -> float:
        """Time until the last section is on [min]."""
        return float(self.ends[-1])

    @property
    def rinse_minutes(self) -> float:
        """Time from the first to the last section rinsed [min]; 0 when all at one moment."""
        return float(self.rinse_after[-1])


def lay(placement: Placement, salon: Salon, values: Mapping[str, float]) -> Laying:
    """Lay the sections of a zone.

    Each pair of hands lays a section of its own; a fresh bowl is mixed at the start and whenever
    the share of one bowl is used up, which takes the changeover time.

    Parameters
    ----------
    placement : Placement
        Sections, their time and the bowls.
    salon : Salon
        Working speed and assistants.
    values : mapping
        Values of the service's assumptions.

    Returns
    -------
    Laying
    """
    hands = 1 + salon.assistants
    each = placement.seconds_per_section / 60.0 / salon.working_speed
    number = np.arange(placement.sections)
    # array_split's sizes: as even as they can be, the larger shares first.
    sizes = [len(part) for part in np.array_split(number, placement.bowls)]
    bowl = np.repeat(np.arange(placement.bowls), sizes)
    first = np.concatenate([[0], np.cumsum(sizes)[:-1]])[bowl]
    rounds = np.array([-(-size // hands) for size in sizes])
    bowl_starts = np.concatenate([[0], np.cumsum(rounds)[:-1]]) * each
    bowl_starts = bowl_starts + np.arange(placement.bowls) * values["changeover_minutes"]
    in_bowl = (number - first) // hands * each
    starts = bowl_starts[bowl] + in_bowl
    return Laying(
        starts=starts,
        ends=starts + each,
        strength=strength_left(in_bowl, values["bowl_fade_minutes"]),
        bowl=bowl + 1,
        rinse_after=np.asarray(number * placement.rinse_seconds_per_section / 60.0),
    )
