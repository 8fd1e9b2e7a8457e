"""Plan of a visit that was sent: worked out once, however many steps of the page ask about it."""

from __future__ import annotations

import json
from functools import lru_cache

from lift.practice.service.plan import Plan, plan
from lift.practice.visit.visit_table import visit_of
from lift.show.page.answer import curves_of


@lru_cache(maxsize=4)
def planned(text: str, packed: bytes) -> Plan:
    """Plan of a visit, from its JSON as `lift.show.page.asked_visit.unbegun` has it."""
    curves = curves_of(packed)
    visit = visit_of(json.loads(text), classes=curves.mixtures)
    return plan(visit.scenario, curves, consulted=visit.consulted)
