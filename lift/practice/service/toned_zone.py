"""Zones that are toned and nothing else: their toner goes on after the last rinse, as others do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lift.model.curves import CurveSet
from lift.model.inverse import Inferred
from lift.model.natural import path_of
from lift.model.strand import Pigment, strand_fibres
from lift.optics.colorimetry import lab_tuple
from lift.optics.dyes import palette
from lift.practice.dose_search import QUICK_ROUNDS, best_doses, residual_to
from lift.practice.scenario.scenario import Scenario, Toner, Zone
from lift.practice.tone import ToneDirection, tone_direction
from lift.practice.toning.neutralise import goal_colour
from lift.practice.toning.rinsed import rinsed
from lift.practice.toning.toner_step import TonerStep, toner_step
from lift.practice.wheel_and_dye import WheelAndDye, wheel_and_dye
from lift.quantities import Lab


@dataclass(frozen=True, eq=False)
class TonedZone:
    """A zone without a mixture whose toner is a step of the service.

    CIELAB as seen `before` and `after` it, and as wanted (`target`), None for natural hair as light
    as it ends. Of grey hair tone and doses are those of the pigmented fibres. `toner` is the dose
    of each dye laid on [0.01 absorption per fibre radius].
    """

    zone: Zone
    target: Lab | None
    before: Lab
    after: Lab
    wheel_and_dye: WheelAndDye
    toner: Mapping[str, float]
    toner_step: TonerStep

    @property
    def tone(self) -> ToneDirection:
        """Direction of the change that is needed."""
        return self.wheel_and_dye.direction


def toned_zones(scenario: Scenario, curves: CurveSet) -> tuple[TonedZone, ...]:
    """Zones of a scenario that are toned and nothing else; not those that need no toner.

    Examples
    --------
    >>> from lift import Hair, Scenario, Tone, default_curves
    >>> from lift.practice.scenario.scenario import Zone, ZoneGoal
    >>> ends = Zone("ends", Hair(6, lightened_to=8), goal=ZoneGoal(Tone()))
    >>> [each.tone.wheel for each in toned_zones(Scenario("", (ends,), {}), default_curves())]
    ['violet']
    """
    found = (_toned(zone, scenario, curves) for zone in scenario.zones)
    return tuple(each for each in found if each is not None)


def _toned(zone: Zone, scenario: Scenario, curves: CurveSet) -> TonedZone | None:
    if not zone.only_toned or zone.toner is None:
        return None
    laid, path, values = zone.laid_on or Toner(), path_of(zone.hair, curves), curves.values
    state = rinsed(zone.hair, None, 0.0, curves, zone.colour).state
    pigment: Pigment = state.pigment if isinstance(state, Inferred) else state
    wanted = goal_colour(zone.goal.goal, curves, path)
    doses = laid.doses
    if doses is None:
        residual, dyes = residual_to(wanted, curves, path), tuple(palette())
        doses = best_doses(pigment, dyes, 1, residual, values, rounds=QUICK_ROUNDS).named()
    grey = {name: getattr(zone.hair, name) for name in ("grey_percent", "resistant_percent")}
    before, after = (
        strand_fibres(pigment, values, tone=tone, **grey) for tone in ({}, dict(doses))
    )
    natural = path.lab_of_lightness(before.pigmented[0])
    levels = [float(path.level_of_lightness(f.pigmented[0])) for f in (before, after)]
    pure = scenario.values["pure_tone_dose"]
    step = toner_step(doses, laid.kind, values, levels=(levels[0], levels[1]), pure=pure)
    if step is None:
        return None
    return TonedZone(
        zone=zone,
        target=None if wanted is None else lab_tuple(wanted),
        before=lab_tuple(before.blend),
        after=lab_tuple(after.blend),
        wheel_and_dye=wheel_and_dye(
            pigment,
            curves,
            wanted,
            direction=tone_direction(
                before.pigmented, natural if wanted is None else wanted, curves
            ),
            laid=doses if laid.doses is None else None,
            path=path,
        ),
        toner=doses,
        toner_step=step,
    )
