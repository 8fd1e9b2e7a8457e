"""From the cells of a swatch file to readings, with a fault for everything that is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from lift.chemistry.strength import check_on_head, on_head_volume
from lift.errors import Floats, LiftError
from lift.model.curves import default_curves
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.model.natural import natural_path
from lift.optics.colorimetry import reflectance_to_lab
from lift.optics.weights import weights
from lift.photo.chart import read_points
from lift.photo.measure import Chart, open_chart
from lift.research.swatches import columns
from lift.research.swatches.cells import folded
from lift.research.swatches.columns import (
    CARRIED,
    COLOURS,
    INSTRUMENTS,
    OF_THE_SWATCH,
    PHOTO,
    REQUIRED,
    SD,
    START,
)
from lift.research.swatches.plausible import remarks
from lift.research.swatches.raw import Fault, Header, Raw
from lift.research.swatches.table import PHOTOGRAPH_BIAS, Swatches
from lift.words import Note, note

LAB = tuple(c.name for c in COLOURS)
Charts = dict[tuple[str, str], Chart]
"""Photographs that were opened, by name and corners."""


def read_rows(
    header: Header,
    raws: Sequence[Raw],
    faults: list[Fault],
    *,
    source: str,
    invented: bool,
    sha256: str,
    classes: MixtureClasses | None = None,
    folder: Path | None = None,
) -> tuple[Swatches | None, tuple[Note, ...]]:
    """Readings of rows, None when there is any fault, and remarks: what is odd but allowed.

    Faults found here are added to those found before. Photographs lie in `folder`.
    """
    classes = classes or mixture_classes()
    spectrum = columns.reflectance_columns(header.names)
    _check_header(header, spectrum, faults)
    if not raws:
        faults.append(Fault(header.line, "", "", note("fault.no_rows")))
    if not raws or any(f.line == header.line for f in faults):
        # With a broken header every row would be wrong in the same way.
        return None, ()
    along = [n for n in header.names if n in CARRIED or columns.is_own(n, spectrum)]
    rows = [
        {**row, "carried": {name: row.get(name, raw.cells.get(name, "")) for name in along}}
        for raw in raws
        if raw.cells and (row := _row(raw, spectrum, faults, classes)) is not None
    ]
    charts: Charts = {}
    for row in rows:
        _photographed(row, folder or Path(), charts, faults)
    rows = _across(rows, faults)
    _by_tress(rows)
    if faults:
        return None, ()
    table = _table(rows, source, invented, sha256, classes)
    return table, remarks(table, [row["line"] for row in rows])


def _check_header(header: Header, spectrum: Mapping[str, float], faults: list[Fault]) -> None:
    def wrong(name: str, reason: Note, value: str = "") -> None:
        faults.append(Fault(header.line, name, value, reason))

    names = header.names
    for name in sorted({n for n in names if names.count(n) > 1}):
        wrong(name, note("fault.column_twice"), name)
    for name in REQUIRED:
        if name not in names:
            wrong(name, note("fault.column_missing"))
    coloured = [n for n in LAB if n in names]
    if coloured and spectrum:
        wrong(coloured[0], note("fault.both_colours"))
    elif spectrum:
        try:
            columns.check_wavelengths(list(spectrum.values()))
        except LiftError as error:
            wrong(next(iter(spectrum)), error.note)
    elif len(coloured) < 3 and PHOTO[0] not in names:
        missing = next(n for n in LAB if n not in names)
        wrong(missing, note("fault.colour_missing"))
    if 0 < sum(n in names for n in START) < 3:
        wrong("start_L", note("fault.start_columns"))


def _row(
    raw: Raw, spectrum: Mapping[str, float], faults: list[Fault], classes: MixtureClasses
) -> dict[str, Any] | None:
    """Read one row; None when any cell is bad."""
    before = len(faults)
    row: dict[str, Any] = {"line": raw.line}

    def take(name: str, read: Callable[[str], Any], empty: Any = None) -> None:
        text = raw.cells.get(name, "")
        if not text:
            row[name] = empty
            if empty is None and name not in START:
                faults.append(Fault(raw.line, name, "", note("fault.cell_empty")))
            return
        try:
            row[name] = read(text)
        except LiftError as error:
            faults.append(Fault(raw.line, name, text, error.note))

    def numeric(name: str) -> Callable[[str], float]:
        return lambda text: columns.in_column(name, text)

    def word(choices: Sequence[str]) -> Callable[[str], str]:
        def read(text: str) -> str:
            if text in choices:
                return text
            for each in choices:
                if folded(each) == folded(text):
                    return each
            raise LiftError("cell.no_choice", known=[*choices])

        return read

    take("swatch", str)
    take("mixture", word(list(classes)))
    take("volume", numeric("volume"))
    take("minutes", numeric("minutes"))
    take("measured_with", word(INSTRUMENTS))
    for name in OF_THE_SWATCH:
        take(name, numeric(name), np.nan)
    kind = str(row.get("mixture"))
    usual = classes[kind].developer_parts if kind in classes else 1.0
    take("developer_parts", numeric("developer_parts"), usual)
    take("fibre", columns.fibre, columns.HAIR["fibre_um"].default)
    take("temperature_c", numeric("temperature_c"), columns.MIXTURE["temperature_c"].default)
    take("ph", numeric("ph"), np.nan)
    take("repeats", numeric("repeats"), 1.0)
    take("illuminant", _illuminant, "D65")
    take("observer", columns.observer, 10)
    for name in START:
        take(name, numeric(name))
    given = [row.get(name) is not None for name in START]
    if any(given) and not all(given):
        faults.append(Fault(raw.line, "start_L", "", note("fault.start_values")))
    for name in spectrum:
        take(name, _reflectance)
    for name in PHOTO:
        take(name, str, "")
    for name in SD:
        take(name, numeric(name), np.nan)
    for name, choices in columns.CHOICES.items():
        take(name, word(choices), "")
    for name in () if spectrum or row["photo"] else LAB:
        take(name, numeric(name))
    faults += _chart_faults(row, raw)
    if len(faults) > before:
        return None
    try:
        check_on_head(on_head_volume(row["volume"], row["developer_parts"]))
    except LiftError as error:
        faults.append(Fault(raw.line, "volume", raw.cells["volume"], error.note))
        return None
    if spectrum:
        fraction = columns.resample(list(spectrum.values()), [row[n] for n in spectrum])
        row["lab"] = reflectance_to_lab(fraction, row["illuminant"], row["observer"])
    elif not row["photo"]:
        row["lab"] = np.array([row[n] for n in LAB])
    row["sd"] = np.array([row.pop(n) for n in SD])
    return row


def _chart_faults(row: Mapping[str, Any], raw: Raw) -> list[Fault]:
    """What a row lacks whose colour is, or should be, measured in a photograph with a chart."""
    own = [name for name in PHOTO if row[name]]
    given = [name for name in SD if not np.isnan(row.get(name, np.nan))]
    wrong = []
    if own and len(own) < len(PHOTO):
        missing = next(name for name in PHOTO if not row[name])
        wrong.append(Fault(raw.line, missing, "", note("fault.photo_columns")))
    elif own and (given or any(raw.cells.get(name) for name in LAB)):
        wrong.append(Fault(raw.line, "photo", row["photo"], note("fault.photo_and_colour")))
    elif given and len(given) < len(SD):
        wrong.append(Fault(raw.line, "sd_L", "", note("fault.sd_values")))
    if bool(own or given) != (row.get("measured_with") == "chart"):
        told = str(row.get("measured_with"))
        wrong.append(Fault(raw.line, "measured_with", told, note("fault.chart")))
    return wrong


def _photographed(row: dict[str, Any], folder: Path, charts: Charts, faults: list[Fault]) -> None:
    """Measure the colour of a row that names a photograph; each chart is read but once."""
    name, corners, hair = (row.pop(key) for key in PHOTO)
    if not name:
        return
    try:
        key = (name, corners)
        if key not in charts:
            charts[key] = open_chart(folder / name, read_points(corners))
        found = charts[key].measure(read_points(hair))
    except LiftError as error:
        row["lab"] = np.full(3, np.nan)
        faults.append(Fault(row["line"], "photo", name, error.note))
        return
    row["lab"], row["sd"] = found.lab.round(3), found.sd.round(3)


def _illuminant(text: str) -> str:
    weights(text.upper())
    return text.upper()


def _reflectance(text: str) -> float:
    try:
        return columns.number(text, *columns.REFLECTANCE_RANGE)
    except LiftError as error:
        if error.note.code != "cell.outside":
            raise
        raise LiftError("cell.fraction", reason=error.note) from None


def _across(rows: list[dict[str, Any]], faults: list[Fault]) -> list[dict[str, Any]]:
    """Check what rows must agree in, and turn start colours into rows of their own."""
    first: dict[str, dict[str, Any]] = {}
    seen: dict[tuple[Any, ...], int] = {}
    out: list[dict[str, Any]] = []
    for row in rows:
        head = first.setdefault(row["swatch"], row)
        for name in (*OF_THE_SWATCH, *START):
            one, other = head[name], row[name]
            if one != other and not (_empty(one) and _empty(other)):
                reason = note("fault.other_value", line=head["line"], value=_say(one))
                faults.append(Fault(row["line"], name, _say(other), reason))
        for name in ("illuminant", "observer"):
            if row[name] != rows[0][name]:
                reason = note("fault.one_for_all", line=rows[0]["line"], value=rows[0][name])
                faults.append(Fault(row["line"], name, str(row[name]), reason))
        key = tuple(
            (k, str(v.tolist() if isinstance(v, np.ndarray) else v))
            for k, v in row.items()
            if k not in ("line", "carried")
        )
        if key in seen:
            reason = note("fault.same_row", line=seen[key])
            faults.append(Fault(row["line"], "", row["swatch"], reason))
        seen[key] = row["line"]
        if row is head and row["start_L"] is not None:
            start = np.array([row[n] for n in START])
            out.append({**row, "minutes": 0.0, "lab": start, "sd": np.full(3, np.nan)})
        out.append(row)
    _refuse_disguised_photographs(out, faults)
    return out


def _by_tress(rows: list[dict[str, Any]]) -> None:
    """Make each tress of a swatch that has several a swatch of its own, named ``swatch/tress``.

    Strands of one hair differ in rate; rows of one strand differ by how it lies.
    """
    tresses: dict[str, set[str]] = {}
    for row in rows:
        tresses.setdefault(row["swatch"], set()).add(row["carried"].get("tress", ""))
    for row in rows:
        if len(tresses[row["swatch"]]) > 1:
            row["swatch"] = f"{row['swatch']}/{row['carried']['tress']}"


def _empty(value: Any) -> bool:
    return value is None or bool(np.isnan(value))


def _say(value: Any) -> str:
    return "" if _empty(value) else f"{value:g}"


def _refuse_disguised_photographs(rows: list[dict[str, Any]], faults: list[Fault]) -> None:
    """Refuse start colours that read as far above natural hair as photographs do."""
    path = natural_path(default_curves())
    starts = [r for r in rows if r["minutes"] == 0.0 and not np.isnan(r["level"])]
    starts = [r for r in starts if r["measured_with"] == "instrument"]
    if not starts:
        return
    lightness = path.lab_of_level([r["level"] for r in starts])[:, 0]
    above = float(np.median([r["lab"][0] for r in starts] - lightness))
    if above > PHOTOGRAPH_BIAS[0] / 2.0:
        row = starts[0]
        reason = note("fault.photograph", above=above, bias=PHOTOGRAPH_BIAS[0])
        faults.append(Fault(row["line"], "measured_with", "instrument", reason))


def _table(
    rows: list[dict[str, Any]],
    source: str,
    invented: bool,
    sha256: str,
    classes: MixtureClasses,
) -> Swatches:
    number = {name: i for i, name in enumerate(dict.fromkeys(r["swatch"] for r in rows))}
    names = list(number)
    photograph = np.array([r["measured_with"] == "photograph" for r in rows])
    lab = np.array([r["lab"] for r in rows])
    own = {r["swatch"]: r for r in rows}

    def column(name: str) -> Floats:
        return np.array([r[name] for r in rows], dtype=np.float64)

    return Swatches(
        names=tuple(names),
        level=np.array([own[n]["level"] for n in names]),
        pheomelanin_share=np.array([own[n]["pheomelanin_share"] for n in names]),
        swatch=np.array([number[r["swatch"]] for r in rows]),
        kind=tuple(r["mixture"] for r in rows),
        volume=column("volume"),
        minutes=column("minutes"),
        lab=lab - np.where(photograph[:, None], PHOTOGRAPH_BIAS, 0.0),
        developer_parts=column("developer_parts"),
        fibre_um=column("fibre"),
        temperature_c=column("temperature_c"),
        ph=column("ph"),
        repeats=column("repeats"),
        photograph=photograph,
        own_sd=np.array([r["sd"] for r in rows]),
        carried={
            name: tuple(r["carried"][name] for r in rows)
            for name in rows[0]["carried"]
            if any(r["carried"][name] for r in rows)
        },
        illuminant=rows[0]["illuminant"],
        observer=rows[0]["observer"],
        source=source,
        invented=invented,
        sha256=sha256,
        classes=classes,
    )
