"""From a scenario back to the tables of its file: `scenario_file` the other way round.

What has its default is left out, so that a table holds what somebody said and no more.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.model.mixture import Mixture
from lift.practice.goal import Goal
from lift.practice.scenario.scenario import (
    CHOOSE,
    LEAVE,
    NONE,
    Scenario,
    Toner,
    Zone,
    ZoneGoal,
)
from lift.practice.scenario.scenario_file import OWN
from lift.quantities import Quantity, quantities_of

Table = dict[str, Any]


def table_of(thing: Any, *, without: tuple[str, ...] = ()) -> Table:
    """Quantities of an object by their keys in a file, those with their default left out.

    Examples
    --------
    >>> from lift import Hair
    >>> table_of(Hair(7, "fine"))
    {'natural_level': 7.0, 'fibre': 'fine'}
    """
    found: Table = {}
    for name, q in quantities_of(type(thing)).items():
        value = getattr(thing, name)
        if name not in without and (q.required or value != q.default):
            found[q.file or name] = typed(q, value)
    return found


def typed(q: Quantity, value: Any) -> Any:
    """Value as a file has it: a word where one stands for it, true where a flag does."""
    for word, number in (q.words or {}).items():
        if value == number:
            return word
    if q.flag is not None and value == q.flag:
        return True
    return list(value) if isinstance(value, tuple) else value


def scenario_table(scenario: Scenario) -> Table:
    """Tables of a scenario file; none that would be empty."""
    mixtures = {
        name: mixture_table(mixture, scenario.to_choose.get(name, ()))
        for name, mixture in scenario.mixtures.items()
    }
    found = {
        "title": scenario.title,
        "about": scenario.about,
        "salon": table_of(scenario.salon),
        "assumptions": dict(scenario.assumptions),
        "mixtures": mixtures,
        "zones": [zone_table(zone) for zone in scenario.zones],
    }
    return {key: value for key, value in found.items() if value}


def mixture_table(mixture: Mixture, to_choose: tuple[str, ...] = ()) -> Table:
    """Table of a mixture, of which the plan may choose some.

    Examples
    --------
    >>> mixture_table(Mixture("powder", 20), ("volume",))
    {'kind': 'powder'}
    """
    carries = bool(mixture.chemistry.tone)
    rest = table_of(mixture, without=("kind", "volume", "developer_parts", "tone", "temperature_c"))
    found: Table = {"kind": mixture.kind}
    if "volume" not in to_choose:
        found["volume"] = _volume(mixture.volume)
    if mixture.developer_parts != mixture.chemistry.developer_parts:
        found["developer_parts"] = mixture.developer_parts
    if "tone" in to_choose:
        found |= {} if carries else {"tone": CHOOSE}
    elif mixture.tone is not None:
        found["tone"] = dict(mixture.tone)
    elif carries:
        found["tone"] = OWN
    return found | rest


def _volume(volume: Any) -> Any:
    if isinstance(volume, tuple):
        return ",".join(f"{plain_number(v)}:{plain_number(parts)}" for v, parts in volume)
    return volume


def zone_table(zone: Zone) -> Table:
    """Table of a zone, its hair beside it."""
    own = table_of(zone, without=("part",))
    named: Table = {"name": zone.name}
    if zone.part != zone.name:
        named["part"] = zone.part
    if zone.goal.said:
        own["goal"] = goal_table(zone.goal)
    if placement := table_of(zone.placement):
        own["placement"] = placement
    if zone.toner != CHOOSE:
        own["toner"] = toner_table(zone.toner)
    return named | table_of(zone.hair) | own


def toner_table(toner: Toner | str | None) -> Table | str:
    """Table of a toner, or the word for none, or for one that is to be chosen."""
    if not isinstance(toner, Toner):
        return NONE if toner is None else toner
    doses = {} if toner.doses is None else {"doses": dict(toner.doses)}
    return table_of(toner) | doses


def goal_table(goal: ZoneGoal) -> Table | str:
    """Goal of a zone as it is typed, or, where that cannot be typed, the table of its parts.

    Examples
    --------
    >>> goal_table(ZoneGoal(match=("darkest", "ends")))
    'blend darkest blonde of ends'
    """
    if goal.leave:
        return LEAVE
    matched = None if goal.match is None else "{} blonde of {}".format(*goal.match)
    parts = table_of(goal.goal)
    if goal.lighter_by is None and not (matched and parts):
        return goal_text(goal.goal) if matched is None else f"{goal.goal.intent} {matched}"
    if (lab := getattr(goal.goal, "lab", None)) is not None:
        parts["lab"] = list(lab)
    for key, value in (("match", matched), ("lighter_by", goal.lighter_by)):
        if value is not None:
            parts[key] = value
    return parts


def goal_text(goal: Goal) -> str:
    """Goal as it is typed: `lift.practice.goal.parse_goal` the other way round.

    Examples
    --------
    >>> from lift import Lighten
    >>> goal_text(Lighten(9, warmth=6))
    'lighten 9 warmth=6'
    """
    said = [goal.intent]
    for name in ("level", "stage", "lab", "warmth", "tolerance"):
        value = getattr(goal, name, None)
        if value is None:
            continue
        if isinstance(value, tuple):
            value = ",".join(map(plain_number, value))
        typed = value if isinstance(value, str) else plain_number(value)
        said.append(f"{name}={typed}" if name in ("warmth", "tolerance") else typed)
    return " ".join(said)


def plain_number(value: float) -> str:
    """Shortest text that reads as the same number, without an exponent."""
    return np.format_float_positional(float(value), trim="-")
