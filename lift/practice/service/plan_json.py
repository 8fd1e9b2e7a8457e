"""JSON form of a plan; times in minutes on the service's clock."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lift.practice.preview import rounded, tone_to_dict
from lift.practice.service.next_visit import Demarcation, NextVisit
from lift.practice.service.outcome import Blend
from lift.practice.service.plan import ASSUMED, Plan
from lift.practice.service.zone_plan import SectionPlan, ZonePlan
from lift.words import codes, say, says


def plan_to_dict(plan: Plan) -> dict[str, Any]:
    """Plan as printed by ``lift plan --json``."""
    salon = plan.scenario.salon
    return {
        "title": plan.scenario.title,
        "about": plan.scenario.about,
        "salon": {**vars(salon), "order": list(salon.order)},
        "mixtures": {
            name: {
                "kind": mixture.kind,
                "developer_volume": float(mixture.developer_volume),
                "developer_parts": float(mixture.developer_parts),
                "on_head_volume": rounded(mixture.on_head_volume),
            }
            for name, mixture in plan.scenario.mixtures.items()
        },
        "exists": plan.exists,
        "p_inside": rounded(plan.p_inside),
        "latest_safe": rounded(plan.latest_safe),
        "total_minutes": rounded(plan.total_minutes),
        "order": [z.zone.name for z in plan.zones],
        "reason": " ".join(says(plan.reasons)),
        "reason_codes": codes(plan.reasons),
        "changes": [
            {
                "kind": say(c.kind),
                "kind_codes": list(c.kinds),
                "text": say(c.text),
                "text_code": c.text.to_dict(),
                **plain({k: v for k, v in vars(c).items() if k not in ("kinds", "parts")}),
            }
            for c in plan.changes
        ],
        "advice": says(plan.advice),
        "advice_codes": codes(plan.advice),
        "zones": [_zone(z) for z in plan.zones],
        "steps": [plain(vars(s)) for s in plan.steps],
        "blend": blend_to_dict(plan.blend),
        "next_visit": visit_to_dict(plan.next_visit),
        "assumed": says(ASSUMED),
        "assumed_codes": codes(ASSUMED),
        "assumptions": {k: rounded(v) for k, v in plan.scenario.values.items()},
        "cautions": [str(caution) for caution in plan.cautions],
        "curve_set": plan.curves.to_dict(),
    }


def _zone(zone: ZonePlan) -> dict[str, Any]:
    apart = ("zone", "goal", "sections", "tone", "toner", "bowl", "closes_by")
    own = {k: v for k, v in vars(zone).items() if k not in apart}
    return {
        "zone": zone.zone.name,
        "part": zone.zone.part,
        "mixture": zone.zone.mixture,
        "goal": str(zone.goal),
        **plain(own),
        "closes_by": say(f"plan.closes_by.{zone.closes_by}"),
        "closes_by_code": zone.closes_by,
        "tone": tone_to_dict(zone.tone),
        "toner": plain(zone.toner),
        "bowl": plain(vars(zone.bowl)),
        "sections": [_section(s) for s in zone.sections],
    }


def _section(section: SectionPlan) -> dict[str, Any]:
    closes_by = say(f"plan.closes_by.{section.closes_by}")
    return plain(vars(section)) | {"closes_by": closes_by, "closes_by_code": section.closes_by}


def blend_to_dict(blend: Blend) -> dict[str, Any]:
    """Colours as seen, and where an edge shows."""
    return {
        "zones": {name: rounded(lab) for name, lab in blend.zones.items()},
        "parts": {name: rounded(lab) for name, lab in blend.parts.items()},
        "parts_before": {name: rounded(lab) for name, lab in blend.parts_before.items()},
        "edges": [plain(vars(e)) for e in blend.edges],
        "to_match": {name: rounded(v) for name, v in blend.to_match.items()},
        "limit": blend.limit,
        "breaks": blend.breaks,
        "words": say(blend.finding),
        "words_code": blend.finding.to_dict(),
    }


def visit_to_dict(visit: NextVisit) -> dict[str, Any]:
    """All that decides the next visit."""
    return {
        "due_weeks": rounded(visit.due_weeks),
        "demarcations": [_demarcation(d) for d in visit.demarcations],
        "tone": {
            name: {
                "weeks": rounded(visit.weeks),
                "warmth": rounded(warmth),
                "passes_weeks": rounded(visit.tone_passes[name]),
            }
            for name, warmth in visit.tone_warmth.items()
        },
        "usual_weeks": rounded(visit.usual_weeks),
        "words": says(visit.findings),
        "words_codes": codes(visit.findings),
    }


def _demarcation(line: Demarcation) -> dict[str, Any]:
    numbers = {k: v if k in ("part", "limit") else rounded(v) for k, v in vars(line).items()}
    return {**numbers, "words": say(line.finding), "words_code": line.finding.to_dict()}


def plain(values: Mapping[str, Any]) -> dict[str, Any]:
    """Values as JSON takes them, numbers rounded."""
    return {
        key: rounded(value)
        if isinstance(value, float)
        or (isinstance(value, tuple) and all(isinstance(v, float) for v in value))
        else list(value)
        if isinstance(value, tuple)
        else value
        for key, value in values.items()
    }
