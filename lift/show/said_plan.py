"""What is said of a plan: notes that terminal, page and card share."""

from __future__ import annotations

from lift.practice.service.changes import Change
from lift.practice.service.plan import Plan
from lift.words import Note, note


def verdict_note(result: Plan) -> Note:
    """The finding in a sentence or two."""
    if not result.exists:
        best = result.best_change
        cheapest = note("plan.no_change") if best is None else note("plan.cheapest", kind=best.kind)
        return note("plan.no_order", reasons=result.reasons, cheapest=cheapest)
    together = result.scenario.salon.together
    rinse = note("plan.rinse_all", at=result.zones[0].rinsed) if together else note("plan.by_zone")
    order = tuple(z.zone.name for z in result.zones)
    return note("plan.order", order=order, rinse=rinse, p=result.p_inside)


def gain_note(change: Change) -> Note:
    """What a change gives, and what it costs in work."""
    minutes = round(change.cost)
    code = "plan.work.more" if minutes > 0 else "plan.work.less" if minutes else "plan.work.same"
    work = note(code, minutes=abs(minutes))
    return note("plan.gain", p=change.p_inside, minutes=change.total_minutes, work=work)
