"""Next visit: how the regrowth shows as it widens, and when the base needs breaking again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.practice.preview import rounded
from lift.practice.service.blend import part_lab
from lift.practice.service.outcome import Outcome
from lift.practice.service.regrowth import (
    USUAL_MM,
    Demarcation,
    demarcation,
    first_week,
    regrowth_mm,
    viewing_field_mm,
    weeks_of_regrowth,
)
from lift.practice.service.scenario import Scenario
from lift.practice.service.service import colour_now, natural_colour
from lift.practice.service.zone import Lab

WEEKS = np.arange(0.0, 20.01, 0.5)


@dataclass(frozen=True, eq=False)
class NextVisit:
    """All that decides the next visit.

    Parameters
    ----------
    demarcations : tuple of Demarcation
        One for each part at the scalp.
    tone_warmth : mapping of str to numpy.ndarray
        Warmth of each treated zone that carries tone as it washes out [dC*], shape (n,).
    tone_passes : mapping of str to (float or None)
        When that warmth passes the zone's limit [weeks]; None: not within the weeks shown.
    weeks : numpy.ndarray
        Time since the service [weeks], shape (n,).
    usual_weeks : tuple of float
        Time in which the usual regrowth of a refresh client, 12 to 25 mm, grows [weeks].
    """

    demarcations: tuple[Demarcation, ...]
    tone_warmth: Mapping[str, Floats]
    tone_passes: Mapping[str, float | None]
    weeks: Floats
    usual_weeks: tuple[float, float]

    @property
    def due_weeks(self) -> float | None:
        """When the first part is due [weeks]; None: not within the weeks shown."""
        due = [d.due_weeks for d in self.demarcations if d.due_weeks is not None]
        return min(due, default=None)

    @property
    def words(self) -> tuple[str, ...]:
        """The findings in sentences."""
        found = [d.words for d in self.demarcations]
        for name, passes in self.tone_passes.items():
            when = (
                f"stays within its limit for {self.weeks[-1]:.0f} weeks"
                if passes is None
                else "is above its limit from the start"
                if passes <= 0.0
                else "passes its limit within the first week; tone again then"
                if passes < 1.0
                else f"passes its limit after about {passes:.0f} weeks; tone again then"
            )
            found.append(f"{name}: as the tone washes out, warmth {when}.")
        low, high = self.usual_weeks
        found.append(
            f"Usual regrowth of a refresh client, 12 to 25 mm, grows in {low:.0f} to {high:.0f} "
            "weeks (common practice)."
        )
        return tuple(found)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "due_weeks": rounded(self.due_weeks),
            "demarcations": [d.to_dict() for d in self.demarcations],
            "tone": {
                name: {
                    "weeks": rounded(self.weeks),
                    "warmth": rounded(warmth),
                    "passes_weeks": rounded(self.tone_passes[name]),
                }
                for name, warmth in self.tone_warmth.items()
            },
            "usual_weeks": rounded(self.usual_weeks),
            "words": list(self.words),
        }


def next_visit(
    scenario: Scenario,
    outcomes: Mapping[str, Outcome],
    targets: Mapping[str, Lab],
    curves: CurveSet,
    weeks: Floats = WEEKS,
) -> NextVisit:
    """Follow the regrowth and the tone through the weeks after a service.

    Parameters
    ----------
    scenario : Scenario
        Zones; those with ``regrowth_mm`` are at the scalp.
    outcomes : mapping of str to Outcome
        Treated zones after their rinse.
    targets : mapping of str to tuple
        CIELAB of zones whose goal is a colour.
    curves : CurveSet
        Curve set.
    weeks : numpy.ndarray
        Times [weeks], rising from 0, shape (n,).

    Returns
    -------
    NextVisit
    """
    values = scenario.values
    often, growth = values["washes_per_week"], values["growth_mm_per_day"]
    colours: dict[str, Floats] = {}
    for zone in scenario.zones:
        lab = (
            outcomes[zone.name].lab_after(weeks, often)
            if zone.name in outcomes
            else np.array(colour_now(zone, curves))
        )
        colours[zone.name] = np.broadcast_to(lab, (weeks.size, 3))
    before = {z.name: np.array(colour_now(z, curves)) for z in scenario.zones}
    natural = {z.name: np.array(natural_colour(z, curves)) for z in scenario.zones}
    at_scalp = [
        part
        for part in scenario.parts
        if any(z.part == part and z.regrowth_mm is not None for z in scenario.zones)
    ]
    field = viewing_field_mm(values["viewing_distance_mm"], values["viewing_field_deg"])
    band = regrowth_mm(weeks, growth)
    path = natural_path(curves)
    toned = {
        name: path.warmth(colours[name]) for name, done in outcomes.items() if done.carries_tone
    }
    return NextVisit(
        demarcations=tuple(
            demarcation(
                part,
                part_lab(scenario, part, colours, before),
                part_lab(scenario, part, natural, natural),
                weeks,
                band,
                field,
                values["demarcation_limit"],
            )
            for part in at_scalp
        ),
        tone_warmth=toned,
        tone_passes={
            name: first_week(weeks, warmth - tone_limit(outcomes[name], targets.get(name), curves))
            for name, warmth in toned.items()
        },
        weeks=weeks,
        usual_weeks=(
            float(weeks_of_regrowth(USUAL_MM[0], growth)),
            float(weeks_of_regrowth(USUAL_MM[1], growth)),
        ),
    )


def tone_limit(done: Outcome, target: Lab | None, curves: CurveSet) -> float:
    """Warmth a zone may have as its tone washes out [dC*].

    Where a toner follows, the goal's warmth is what the toner has to carry, not what may show:
    then it is the curve set's allowance, above the warmth of the colour wanted.
    """
    if done.work.zone.toner is None:
        return done.work.target.warmth_limit
    wanted = 0.0 if target is None else float(natural_path(curves).warmth(np.array(target)))
    return max(wanted, 0.0) + float(curves.values["warmth_allowance"])
