"""Scenario files: TOML to `Scenario`, with line and key in every error.

The format is described in ``shared/README.md``.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from typing import Any

from lift.errors import check_choice
from lift.files import parse_toml, read_whole, shown_path
from lift.model.hair import FIBRE_RANGE, FIBRES_UM, LEVEL_RANGE, RED_SHARE, Hair
from lift.model.mixture import KINDS, Mixture
from lift.optics.dyes import MAX_DOSE, palette
from lift.practice.goal import Goal
from lift.practice.service.reader import Reader, Where, number, shown, words_only
from lift.practice.service.scenario import RINSES, Salon, Scenario
from lift.practice.service.service_values import SERVICE
from lift.practice.service.toml_lines import Path, key_lines, line_of, path_words
from lift.practice.service.zone import (
    MATCHES,
    MAX_SECTIONS,
    PLACEMENT_RANGES,
    Blonde,
    Placement,
    Toner,
    Zone,
    ZoneGoal,
)
from lift.practice.toning.fade import FADE_KINDS
from lift.practice.window import LIMIT_MINUTES

MAX_BYTES = 200_000


def load_scenario(path: str | os.PathLike[str]) -> Scenario:
    """Read a scenario file.

    Parameters
    ----------
    path : path-like
        A TOML file of at most 200 kB.

    Returns
    -------
    Scenario

    Raises
    ------
    LiftError
        When the file cannot be read, is not TOML, or a key is missing, unknown, out of range or
        of the wrong kind; the text names file, line and key.
    """
    return parse_scenario(read_whole(path, MAX_BYTES, "file.scenario"), shown_path(path))


def parse_scenario(text: str, name: str = "scenario") -> Scenario:
    """Read a scenario from the text of a file; see `load_scenario`."""
    table = parse_toml(text, name)
    lines = key_lines(text)

    def where(path: Path) -> str:
        line = line_of(path, lines)
        place = name if line is None else f"{name}, line {line}"
        return f"{place}, {path_words(path)}" if path else place

    return scenario_of(table, where)


def scenario_of(table: Mapping[str, Any], where: Where = words_only) -> Scenario:
    """Build a scenario from nested tables, as read from TOML or JSON.

    Parameters
    ----------
    table : mapping
        The keys of a scenario file.
    where : callable
        Words that stand before an error about a path of keys.

    Returns
    -------
    Scenario

    Raises
    ------
    LiftError
        For a table that is no scenario.
    """
    top = Reader(table, where=where)
    title, about = top.text("title"), top.text("about", "")
    salon, heat_c = _salon(top.table("salon"))
    mixtures = top.table("mixtures")
    hair = top.table("hair")
    zones = top.tables("zones")
    assumptions = _assumptions(top.table("assumptions"))
    top.need("title", "mixtures", "zones")
    top.finish()
    known = {} if mixtures is None else _mixtures(mixtures)
    common = Reader({}) if hair is None else hair
    built = []
    for zone in zones:
        made = _zone(zone, common, heat_c)
        if made.mixture is not None:
            with zone.at("mixture"):
                check_choice(f"mixture of zone {made.name}", made.mixture, known)
        built.append(made)
    common.finish()
    with top.at():
        return Scenario(title, tuple(built), known, salon, about, assumptions, where)


def _salon(reader: Reader | None) -> tuple[Salon, float]:
    if reader is None:
        return Salon(), 0.0
    usual = Salon()
    with reader.at():
        salon = Salon(
            room_c=reader.number("room_c", 10.0, 40.0, "C", usual.room_c),
            working_speed=reader.number("working_speed", 0.25, 4.0, "", usual.working_speed),
            assistants=reader.whole("assistants", 0, 3, usual.assistants),
            rinse=reader.choice("rinse", RINSES, usual.rinse),
            order=reader.texts("order"),
            limit_minutes=reader.number(
                "limit_minutes", 1.0, LIMIT_MINUTES, "min", usual.limit_minutes
            ),
        )
    heat_c = reader.number("heat_c", 0.0, 20.0, "C", 0.0)
    reader.finish()
    return salon, heat_c


def _mixtures(reader: Reader) -> dict[str, Mixture]:
    mixtures = {}
    for name in reader.names():
        row = reader.table(name)
        assert row is not None
        kind = row.choice("kind", KINDS)
        volume = row.number("volume", 0.0, 100.0, "vol")
        row.need("kind", "volume")
        options = {
            "developer_parts": row.number("developer_parts", 0.1, 10.0, "parts"),
            "ph": row.number("ph", 2.0, 13.0),
            "boost": row.number("boost", 1.0, 20.0),
            "tone": _doses(row.table("tone")),
            "tone_minutes": row.number("tone_minutes", 0.5, 60.0, "min"),
        }
        row.finish()
        with row.at():
            mixtures[name] = Mixture(kind, volume, **options)
    return mixtures


def _zone(reader: Reader, common: Reader, heat_c: float) -> Zone:
    name = reader.text("name")
    hair = _hair(reader, common)
    made = {
        "part": reader.text("part", ""),
        "regrowth_mm": reader.number("regrowth_mm", 0.5, 200.0, "mm"),
        "length_mm": reader.number("length_mm", 1.0, 1500.0, "mm"),
        "share": reader.number("share", 0.01, 1.0, "", 1.0),
        "beside": reader.texts("beside"),
        "colour": _blonde(reader, "colour"),
        "darkest": _blonde(reader, "darkest_blonde"),
        "lightest": _blonde(reader, "lightest_blonde"),
        "mixture": reader.text("mixture"),
        "goal": _goal(reader.table("goal")),
        "placement": _placement(reader.table("placement")),
        "toner": _toner(reader.table("toner")),
        "heat_c": reader.number("heat_c", 0.0, 20.0, "C", heat_c),
    }
    reader.need("name")
    reader.finish()
    with reader.at():
        return Zone(name, hair, **made)


def _hair(reader: Reader, common: Reader) -> Hair:
    def first(take: Callable[[Reader], Any]) -> Any:
        own, shared = take(reader), take(common)
        return shared if own is None else own

    level = first(lambda r: r.number("natural_level", *LEVEL_RANGE))
    fibre = first(_fibre)
    grey = first(lambda r: r.number("grey_percent", 0.0, 100.0, "%"))
    red, damp = first(lambda r: r.flag("red")), first(lambda r: r.flag("damp"))
    lightened_to = reader.number("lightened_to", 1.0, 12.0)
    if level is None:
        reader.need("natural_level")
    with reader.at("lightened_to" if lightened_to is not None else "natural_level"):
        return Hair(
            level=level,
            fibre_um="medium" if fibre is None else fibre,
            damp=bool(damp),
            grey_percent=grey or 0.0,
            pheomelanin_share=RED_SHARE if red else None,
            lightened_to=lightened_to,
        )


def _fibre(reader: Reader) -> Any:
    value = reader.take("fibre")
    if value is None or (isinstance(value, str) and value in FIBRES_UM):
        return value
    with reader.at("fibre"):
        if isinstance(value, str):
            check_choice("fibre", value, FIBRES_UM)
        return number("fibre", value, *FIBRE_RANGE, "um")


def _goal(reader: Reader | None) -> ZoneGoal:
    if reader is None:
        return ZoneGoal()
    level, lab = reader.number("level", 1.0, 12.0), reader.lab("lab")
    warmth = reader.number("warmth", 0.0, 60.0, "dC*")
    match = _match(reader)
    lighter_by = reader.number("lighter_by", 0.1, 9.0, "levels")
    reader.finish()
    with reader.at():
        return ZoneGoal(Goal(level, lab, warmth), match, lighter_by)


def _match(reader: Reader) -> tuple[str, str] | None:
    text = reader.text("match")
    if text is None:
        return None
    words = text.split(" blonde of ", 1)
    if len(words) != 2 or words[0] not in MATCHES:
        reader.refuse(
            ("match",), f'match {shown(text)} is not "darkest blonde of ZONE" or "lightest ..."'
        )
    return words[0], words[1].strip()


def _placement(reader: Reader | None) -> Placement:
    if reader is None:
        return Placement()
    usual = Placement()
    with reader.at():
        placement = Placement(
            sections=reader.whole("sections", 1, MAX_SECTIONS, usual.sections),
            bowls=reader.whole("bowls", 1, 10, usual.bowls),
            **{
                key: reader.number(key, low, high, unit, getattr(usual, key))
                for key, low, high, unit in PLACEMENT_RANGES
            },
        )
    reader.finish()
    return placement


def _toner(reader: Reader | None) -> Toner | None:
    if reader is None:
        return None
    toner = Toner(reader.choice("kind", FADE_KINDS, "direct"), _doses(reader.table("doses")))
    reader.finish()
    return toner


def _doses(reader: Reader | None) -> dict[str, float] | None:
    if reader is None:
        return None
    doses = {dye: reader.number(dye, 0.0, MAX_DOSE) for dye in palette() if reader.has(dye)}
    for dye in palette():
        reader.take(dye)
    reader.finish()
    return doses


def _blonde(reader: Reader, key: str) -> Blonde | None:
    if isinstance(reader.take(key), list):
        return reader.lab(key)
    level: float | None = reader.number(key, 1.0, 12.0)
    return level


def _assumptions(reader: Reader | None) -> dict[str, float]:
    if reader is None:
        return {}
    given = {
        name: reader.number(name, p.low, p.high, p.unit)
        for name, p in SERVICE.items()
        if reader.has(name)
    }
    for name in SERVICE:
        reader.take(name)
    reader.finish()
    return given
