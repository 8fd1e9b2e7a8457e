"""A service of foils and a base, planned, and hands that do what its clock says."""

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.goal import Lighten
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone, ZoneGoal
from lift.practice.service.plan import plan

FOILS = Zone(
    "foils",
    Hair(7, "fine"),
    mixture="light",
    goal=ZoneGoal(Lighten(level=8, warmth=20), lighter_by=1.5),
    placement=Placement(5, 60, 2),
)
BASE = Zone(
    "base",
    Hair(7, "fine", damp=True),
    mixture="break",
    placement=Placement(3, 20, 2, rinse_seconds_per_section=20),
)


def planned(rinse="together", zones=(FOILS, BASE), **salon):
    mixtures = {"light": Mixture("powder", 10), "break": Mixture("base-break", 10)}
    return plan(Scenario("t", zones, mixtures, Salon(rinse=rinse, **salon)), members=20)


TOGETHER = planned()
BY_ZONE = planned("zone by zone")


def act(clock, now, late=0.0):
    """Do the next thing when it is due, and mark it; a lay takes its time and some more."""
    action = clock.next(now)
    at = max(now, action.at)
    if action.kind == "lay":
        at += clock.zone(action.zone).each + late
    if action.kind == "rinsing":
        return clock, action.until, action
    return clock.mark(at), at, action
