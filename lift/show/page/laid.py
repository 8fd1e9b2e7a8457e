"""What the map of a plan shows of each zone: where it lies and beside what, and how thick it is."""

from __future__ import annotations

from lift.answers.encode import Part
from lift.practice.scenario.laid_out import FOILS
from lift.practice.scenario.scenario import Zone
from lift.practice.schedule.solve import colour_now
from lift.practice.service.plan import Plan
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Shades


class LaidZone(Part):
    """Where one zone lies: in which part, woven between which zones, beside which parts.

    `shades` are of its hair before; thickness is that of a section or foil [mm].
    """

    zone: str
    part: str
    woven: list[str]
    beside: list[str]
    foils: bool
    thickness_mm: float
    shades: Shades


def laid_zones(result: Plan) -> list[LaidZone]:
    """All zones of a plan, those without a mixture among them, in the order of its scenario."""
    return [_laid(zone, result) for zone in result.scenario.zones]


def _laid(zone: Zone, result: Plan) -> LaidZone:
    others = [z for z in result.scenario.zones if z.part == zone.part and z is not zone]
    beside = [*zone.beside, *(p for other in others for p in other.beside)]
    return LaidZone(
        zone=zone.name,
        part=zone.part,
        woven=[z.name for z in others if z.treated],
        beside=[*dict.fromkeys(beside)],
        foils=zone.along == FOILS,
        thickness_mm=zone.placement.section_thickness_mm,
        shades=shade_texts([colour_now(zone, result.curves)])[0],
    )
