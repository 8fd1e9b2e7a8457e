"""Looks of a service: when one is advised on hair that is laid, and what it moves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import LiftError
from lift.practice.goal import Blend, Goal
from lift.practice.schedule.response import Response, deck, respond
from lift.practice.schedule.solve import Service
from lift.practice.trial.observation import Observation
from lift.practice.trial.strand_test import StrandTest, strand_test
from lift.words import Note


@dataclass(frozen=True, eq=False)
class ZoneLooks:
    """What looks at a zone, and at strands of it, showed, and when the next is advised.

    It is advised `after` the start of the first section, and a look at a strand that is laid
    `ahead_by` before the rest after `ahead` [min], each None where none would tell. `response` is
    that of hair which shows what was seen; None where nothing was, or where no strand of this hair
    `refused`, in which case what was planned stands.
    """

    after: float | None
    ahead: float | None
    ahead_by: float | None
    response: Response | None = None
    test: StrandTest | None = None
    refused: Note | None = None


def zone_looks(service: Service, name: str, seen: Sequence[Observation] = ()) -> ZoneLooks:
    """Ask the strand test about a zone of a plan.

    Its hair is taken to be the middle strand of the first section, which the mixture reaches a
    little weaker than it was mixed: times of looks are put into times of that strand.

    Parameters
    ----------
    service : Service
        The plan's.
    name : str
        Of the zone.
    seen : sequence of Observation
        At times since the strand was laid [min].
    """
    work = service.works[name]
    slow = float(np.exp(0.5 * (work.outer[0, 0] + work.inner[0, 0])))
    planned = float(work.own_minutes(service.rinse_after(name)).max()) * slow
    members = len(work.responses.latent) - 1

    def ask(looks: Sequence[Observation]) -> StrandTest:
        return strand_test(
            work.zone.hair,
            work.mixture,
            [replace(look, minutes=look.minutes * slow) for look in looks],
            _goal(service, name),
            work.curves,
            rinse_minutes=planned,
            members=members,
        )

    try:
        return _advised(ask(seen), service, name, slow)
    except LiftError as error:
        if not seen:
            return ZoneLooks(None, None, None)
        return replace(_advised(ask(()), service, name, slow), refused=error.note)


def _advised(test: StrandTest, service: Service, name: str, slow: float) -> ZoneLooks:
    same, ahead, response = test.next_look.same, test.next_look.ahead, None
    if test.posterior is not None:
        work = service.works[name]
        latent = test.posterior.resample(len(work.responses.latent) - 1)
        response = respond(work.asked, work.curves, deck(latent, prior=False))
    return ZoneLooks(
        after=same.minutes / slow if same is not None and same.tells else None,
        ahead=None if ahead is None else ahead.minutes / slow,
        ahead_by=None if ahead is None else ahead.ahead,
        response=response,
        test=test,
    )


def _goal(service: Service, name: str) -> Goal:
    """Goal of a zone as one strand has it: what a match is to become is known by now."""
    goal = service.works[name].zone.goal.goal
    if name not in service.matches:
        return goal
    return Blend(lab=service.matches[name], tolerance=goal.tolerance)
