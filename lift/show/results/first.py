"""First lines of results that have no page of their own for them."""

from __future__ import annotations

import numpy as np

from lift.model.curves import CurveSet
from lift.model.ensemble import Ensemble
from lift.practice.choosing.choose import Choice
from lift.practice.preview import Preview
from lift.practice.service.plan import Plan
from lift.research.evidence.checks import Check
from lift.show import said, said_choose
from lift.words import Note, note


def of_preview(preview: Preview) -> dict[str, Note]:
    """What is expected, and what to do."""
    numbers = {"minutes": preview.minutes, "stage": preview.stage}
    median = {name: preview.band_at(name)[1] for name in ("level", "warmth")}
    return {"at": note("results.at", **numbers, **median), **said.first_notes(preview)}


def of_ensemble(drawn: Ensemble) -> dict[str, Note]:
    """How many strands, and how far apart they end."""
    count, times = drawn.latent.shape[0], np.ravel(drawn.central.minutes)
    ends = {}
    for name, code in (("level", "band_level"), ("warmth", "band")):
        low, median, high = (float(np.ravel(each)[-1]) for each in drawn.band(name))
        ends[name] = note(f"results.{code}", low=low, median=median, high=high)
    return {"strands": note("results.strands", count=count, minutes=float(times.max())), **ends}


def of_choice(choice: Choice) -> dict[str, Note]:
    """What the first way is."""
    if not choice.options:
        return {"risk": note("results.no_way", goal=choice.target.name)}
    goal: Note = note("text", text=str(choice.target.name))
    return said_choose.first_notes(choice.options[0], goal, choice)


def of_plan(plan: Plan) -> dict[str, Note]:
    """When all is done, and how it may end."""
    names = [zone.zone.name for zone in plan.zones]
    told = {"zones": note("results.zones", names=names)} if names else {}
    told["done"] = note("plan.total", end=plan.total_minutes)
    told["risk"] = note("results.inside", p=plan.p_inside)
    return told


def of_curves(curves: CurveSet) -> dict[str, Note]:
    """What a curve set is, and what its numbers rest on."""
    statuses = [curves[name].status for name in curves]
    counts = [
        note("results.standing", count=statuses.count(status), status=note(f"status.{status}"))
        for status in dict.fromkeys(statuses)
    ]
    return {
        "name": note("standing.line", name=curves.name, standing=curves.standing),
        "numbers": note("results.numbers", count=len(statuses), counts=counts),
    }


def of_check(check: Check) -> dict[str, Note]:
    """What is compared, and both sides."""
    found = {"name": check.name, "source": check.source, "expected": check.expected}
    found["got"] = check.got
    return found | ({} if check.finding is None else {"finding": check.finding})
