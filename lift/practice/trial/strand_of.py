"""A strand test's posterior for a scenario: one strand speaks for the whole head."""

from __future__ import annotations

import os

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet
from lift.practice.scenario.scenario import Scenario
from lift.practice.trial.strand_file import load_strand


def strand_of(scenario: Scenario, path: str | os.PathLike[str], curves: CurveSet) -> Floats:
    """Deviates of a strand file, shape (members, 5), when it is of a treated zone's hair.

    Raises
    ------
    LiftError
        When the strand is of no treated zone's hair, saying what differs from the first.
    """
    strand = load_strand(path)
    first: LiftError | None = None
    for zone in scenario.treated:
        try:
            return strand.latent_for(zone.hair, curves)
        except LiftError as error:
            first = first or error
    assert first is not None
    raise LiftError("strand_file.no_zone", reason=first.note)
