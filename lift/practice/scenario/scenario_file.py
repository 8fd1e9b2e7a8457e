"""Scenario files: TOML to `Scenario`, with line and key in every error.

The format is described in ``shared/README.md``.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any

from lift.errors import check_choice
from lift.files import Kind, parse_toml, read_whole, shown_path
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.optics.dyes import MAX_DOSE, palette
from lift.practice.assumptions import SERVICE
from lift.practice.goal import Lighten, goal_of
from lift.practice.scenario.place import Path, Where, key_lines, line_of, no_file
from lift.practice.scenario.reader import Reader, key_name
from lift.practice.scenario.scenario import (
    CHOOSE,
    NONE,
    OPEN,
    Placement,
    Salon,
    Scenario,
    Toner,
    Zone,
    ZoneGoal,
    read_zone_goal,
)
from lift.quantities import Quantity, quantities_of
from lift.words import Note, note

MAX_BYTES = 200_000
KIND = Kind("file.scenario")
BESIDE = ("visit", "consultation", "clock", "looks", "came_out")
"""What the file of a visit holds besides; `lift.practice.visit.visit_table` reads it."""

OWN = "own"
"""Stands in a file for the tone that a class of mixture carries by itself."""

RETIRED = ("match_darker_levels", "match_lighter_levels")
"""Assumptions that earlier files may have: a match is judged by its difference in colour now."""

UNNAMED = note("file.scenario")
"""Stands where the text came without a file."""


def load_scenario(path: str | os.PathLike[str], classes: MixtureClasses | None = None) -> Scenario:
    """Read a scenario file.

    Parameters
    ----------
    path : path-like
        A TOML file of at most 200 kB.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        When the file cannot be read, is not TOML, or a key is missing, unknown, out of range or
        of the wrong kind; the text names file, line and key.

    Examples
    --------
    >>> scenario = load_scenario("shared/blonde_refresh.toml")
    >>> [zone.name for zone in scenario.treated]
    ['foils', 'base']
    """
    text = read_whole(path, MAX_BYTES, "file.scenario")
    return parse_scenario(text, shown_path(path), classes)


def parse_scenario(
    text: str, name: str | Note = UNNAMED, classes: MixtureClasses | None = None
) -> Scenario:
    """Read a scenario from the text of a file; see `load_scenario`."""
    table = parse_toml(text, name)
    table = KIND.brought_up(table, table.pop("version", None), str(name))
    return scenario_of(table, in_file(text, name), classes)


def in_file(text: str, name: str | Note) -> Where:
    """What stands before an error about a path of keys of a TOML text: file, line and key."""
    lines = key_lines(text)

    def where(path: Path) -> Note:
        line = line_of(path, lines)
        place = note("text", text=name)
        if line is not None:
            place = note("scenario.line", name=name, line=line)
        return note("scenario.place", place=place, keys=no_file(path)) if path else place

    return where


def scenario_of(
    table: Mapping[str, Any], where: Where = no_file, classes: MixtureClasses | None = None
) -> Scenario:
    """Build a scenario from nested tables, as read from TOML or JSON.

    Parameters
    ----------
    table : mapping
        The keys of a scenario file.
    where : callable
        What stands before an error about a path of keys.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        For a table that is no scenario.
    """
    top = Reader(table, where=where)
    title, about = top.text("title"), top.text("about", "")
    salon = top.table("salon")
    with salon.at():
        salon_made = Salon(**salon.given(Salon))
    heat = salon.numbers({"heat_c": quantities_of(Zone)["heat_c"]})
    salon.finish()
    mixtures, common, zones = top.table("mixtures"), top.table("hair"), top.tables("zones")
    assumptions = top.table("assumptions")
    assumed = assumptions.numbers(SERVICE)
    for name in RETIRED:
        assumptions.take(name)
    assumptions.finish()
    for name in BESIDE:
        top.take(name)
    top.need("title", "mixtures", "zones")
    top.finish()
    # What one zone lacks may be misspelt here: that is told first.
    usual = common.given(Hair, without=("lightened_to",))
    common.finish()
    classes = classes or mixture_classes()
    known = {name: _mixture(row, classes) for name, row in mixtures.all_tables().items()}
    to_choose = {name: some for name, (_, some) in known.items() if some}
    built = []
    for zone in zones:
        made = _zone(zone, usual, heat)
        if made.mixture is not None:
            with zone.at("mixture"):
                check_choice(note("scenario.mixture_of", zone=made.name), made.mixture, known)
        built.append(made)
    with top.at():
        mixtures_made = {name: mixture for name, (mixture, _) in known.items()}
        return Scenario(
            title, tuple(built), mixtures_made, salon_made, about, assumed, to_choose, where
        )


def _mixture(reader: Reader, classes: MixtureClasses) -> tuple[Mixture, tuple[str, ...]]:
    """Mixture of a table, and what of it the plan is to choose."""
    kind = reader.text("kind")
    if kind is not None:
        with reader.at("kind"):
            check_choice(key_name("kind"), kind, classes)
    open_ = {key for key in OPEN if reader.take(key) in (None, CHOOSE)}
    given = reader.given(Mixture, without=("kind", "temperature_c", *open_, "tone"))
    own = reader.take("tone") == OWN
    if "tone" not in open_ and not own:
        given["tone"] = _doses(reader, "tone")
    reader.need("kind")
    reader.finish()
    if "tone" in open_ and reader.take("tone") is None and not classes[kind].tone:
        # A class that carries no tone by itself does so only where that is asked for.
        open_.remove("tone")
    with reader.at():
        return Mixture(classes[kind], **given), tuple(key for key in OPEN if key in open_)


def _zone(reader: Reader, usual: Mapping[str, Any], heat: Mapping[str, Any]) -> Zone:
    given = {"name": reader.text("name"), "hair": _hair(reader, usual), **heat}
    without = {"minutes"} if reader.take("minutes") == CHOOSE else set()
    given |= reader.given(Zone, without=without)
    if isinstance(typed := reader.take("goal"), str):
        with reader.at("goal"):
            given["goal"] = read_zone_goal(typed)
    if isinstance(typed := reader.take("toner"), str):
        with reader.at("toner"):
            word = check_choice(key_name("toner"), typed, (CHOOSE, NONE))
            given["toner"] = None if word == NONE else CHOOSE
    for key, part in (("goal", _goal), ("placement", _placement), ("toner", _toner)):
        if key in given:
            continue
        table = reader.table(key)
        if reader.has(key):
            given[key] = part(table)
    reader.need("name")
    reader.finish()
    with reader.at():
        return Zone(**given)


def _hair(reader: Reader, usual: Mapping[str, Any]) -> Hair:
    given = {**usual, **reader.given(Hair)}
    if "level" not in given:
        reader.need("natural_level")
    with reader.at("lightened_to" if "lightened_to" in given else "natural_level"):
        return Hair(**given)


def _goal(reader: Reader) -> ZoneGoal:
    """Goal of a table of its parts; what is typed at once is read by `read_zone_goal`."""
    given, more = reader.given(Lighten), reader.given(ZoneGoal)
    lab = reader.lab("lab")
    reader.finish()
    with reader.at():
        if "match" in more:
            # A blend asks how far from the blonde it is, and no more how warm it may be.
            given.pop("warmth", None)
        return ZoneGoal(goal_of(lab=lab, **given), **more)


def _placement(reader: Reader) -> Placement:
    given = reader.given(Placement)
    reader.finish()
    with reader.at():
        return Placement(**given)


def _toner(reader: Reader) -> Toner:
    given = reader.given(Toner)
    doses = _doses(reader, "doses")
    reader.finish()
    return Toner(doses=doses, **given)


def _doses(reader: Reader, key: str) -> dict[str, float] | None:
    table = reader.table(key)
    if not reader.has(key):
        return None
    doses = table.numbers({dye: Quantity(dye, 0.0, MAX_DOSE) for dye in palette()})
    table.finish()
    return doses
