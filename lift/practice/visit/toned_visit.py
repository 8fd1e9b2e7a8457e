"""A visit that tones and lightens nothing: its toners, when they go on, and what follows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from lift.errors import LiftError, LimitError, check_number
from lift.model.curves import CurveSet
from lift.practice.cautions import ALWAYS, in_order
from lift.practice.scenario.laid_out import MAX_TREATED
from lift.practice.scenario.scenario import Toner, Zone
from lift.practice.service.after_rinse import ToningTimes, toning_times
from lift.practice.visit.after_care import Care, after_care, done_at
from lift.practice.visit.next_after import come_again
from lift.practice.visit.next_date import Proposal
from lift.practice.visit.tone import ZoneTone, zone_tone
from lift.practice.visit.visit import Visit
from lift.words import Note


@dataclass(frozen=True, eq=False)
class TonedVisit:
    """What is done at a visit without a mixture, for its card.

    Parameters
    ----------
    visit : Visit
        With the toners that were left to be chosen.
    tones : tuple of ZoneTone
        Tone of each zone that is to be toned; some may need no toner.
    toning : tuple of ToningTimes
        When each toner goes on, from the first one's mixing, and when it is rinsed [min]; assumed.
    care : tuple of Care
        What to tell the client.
    again : Proposal
        When to come again.
    cautions : tuple of Note
        To be shown with it, what the client's answers stop or warn of first.
    curves : CurveSet
        Curve set.
    """

    visit: Visit
    tones: tuple[ZoneTone, ...]
    toning: tuple[ToningTimes, ...]
    care: tuple[Care, ...]
    again: Proposal
    cautions: tuple[Note, ...]
    curves: CurveSet


def toned_visit(visit: Visit, curves: CurveSet) -> TonedVisit:
    """Tone every zone of a visit that is toned and nothing else.

    Raises
    ------
    LimitError
        For a toner that the client's answers refuse.
    LiftError
        Where no zone is to be toned, or more than can be planned.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> from lift.practice.visit.visit_table import visit_of
    >>> ends = {"name": "ends", "natural_level": 6, "lightened_to": 8.5, "goal": "tone"}
    >>> found = toned_visit(visit_of({"zones": [ends]}), default_curves())
    >>> [(each.zone, each.starts, each.rinsed) for each in found.toning]
    [('ends', 1.0, 21.0)]
    """
    scenario, consulted = visit.scenario, visit.consulted
    names = [zone.name for zone in scenario.zones if zone.only_toned]
    if not names:
        raise LiftError("card.nothing_mixed")
    check_number("card.toned.zones", len(names), 1, MAX_TREATED)
    tones = tuple(zone_tone(visit, name, curves) for name in names)
    laid = {each.zone.name: each for each in tones if each.chosen > 0.0}
    for each in laid.values():
        if (stop := consulted.toner_refused(each.zone.along)) is not None:
            raise LimitError(stop.note)
    zones = tuple(_settled(zone, laid.get(zone.name)) for zone in scenario.zones)
    settled = visit.replace(scenario=scenario.replace(zones=zones))
    return TonedVisit(
        visit=settled,
        tones=tones,
        toning=toning_times(laid, 0.0, scenario.values),
        care=after_care(done_at(settled)),
        again=come_again(settled, curves),
        cautions=in_order((*consulted.notes, *ALWAYS)),
        curves=curves,
    )


def _settled(zone: Zone, tone: ZoneTone | None) -> Zone:
    """The zone with the toner that is laid on it, so that nothing of it is left to be chosen."""
    if not zone.only_toned:
        return zone
    laid = None if tone is None else Toner(tone.report.kind, tone.doses(tone.chosen))
    return replace(zone, toner=laid)
