"""CxF (ISO 17972): colours of measured objects through the ``colour-cxf`` library.

The conditions of a swatch are tags of its object, named as the columns of a swatch file; where an
instrument wrote none, they come from a CSV that names the objects.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from lift.errors import LiftError
from lift.research.swatches.columns import CARRIED, CONDITIONS, PHOTO, START
from lift.research.swatches.raw import INVENTED_MARK, Fault, Header, Raw
from lift.research.swatches.table import Swatches
from lift.words import note

TAGS = "swatch"
"""Name of the tag collection that holds the conditions."""

OBSERVERS = {"2_Degree": "2", "10_Degree": "10"}
SPECIFICATION = "instrument"


def _library() -> Any:
    try:
        import colour_cxf
    except ImportError:
        raise LiftError("cxf.library") from None
    return colour_cxf


def cxf_rows(
    content: bytes, conditions: Iterable[Raw] | None, faults: list[Fault]
) -> tuple[Header, list[Raw], bool]:
    """Rows of a CxF file, numbered by object from 1.

    Parameters
    ----------
    content : bytes
        The file.
    conditions : iterable of Raw, optional
        Rows of a conditions table, each with a cell ``object``; default: tags of the objects.
    faults : list of Fault
        What is wrong is added here.

    Returns
    -------
    Header, list of Raw, bool
        Columns found, rows, and whether the file says that its readings are invented.

    Raises
    ------
    LiftError
        When it is not a CxF file, or the library is not installed.
    """
    try:
        document = _library().read_cxf(content)
        objects = document.resources.object_collection.object_value
    except LiftError:
        raise
    except Exception as error:
        # The parser's own errors have no common base.
        raise LiftError("cxf.not_cxf", reason=str(error).splitlines()[0]) from None
    specifications = _specifications(document)
    given = None if conditions is None else _by_object(conditions, faults)
    raws = []
    for number, thing in enumerate(objects, 1):
        name = thing.name or ""
        tags = {t.name: t.value or "" for c in thing.tag_collection for t in c.tag}
        cells = {k: v for k, v in tags.items() if k in {c.name for c in CONDITIONS}}
        if given is not None:
            if name not in given:
                reason = note("cxf.no_row")
                faults.append(Fault(number, "object", name, reason))
            cells.update(given.pop(name, {}))
        elif "swatch" not in cells:
            reason = note("cxf.no_tag")
            faults.append(Fault(number, "object", name, reason))
        colour = _colour(thing, specifications)
        if not colour:
            faults.append(Fault(number, "object", name, note("cxf.no_colour")))
        raws.append(Raw(number, {"measured_with": "instrument", **cells, **colour}))
    for name in given or {}:
        faults.append(Fault(0, "object", name, note("cxf.no_object")))
    header = Header(0, tuple(dict.fromkeys(n for raw in raws for n in raw.cells)))
    information = document.file_information
    description = "" if information is None else information.description or ""
    return header, raws, INVENTED_MARK in description


def _by_object(conditions: Iterable[Raw], faults: list[Fault]) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for raw in conditions:
        cells = dict(raw.cells)
        name = cells.pop("object", "")
        if not name or name in found:
            reason = note("cxf.twice" if name else "cxf.no_column", line=raw.line)
            faults.append(Fault(0, "object", name, reason))
        found[name] = cells
    return found


def _specifications(document: Any) -> dict[str, Any]:
    collection = document.resources.color_specification_collection
    return {} if collection is None else {s.id: s for s in collection.color_specification}


def _colour(thing: Any, specifications: dict[str, Any]) -> dict[str, str]:
    """Cells of the object's colour: its reflectance where it has one, else its CIELAB."""
    values = [] if thing.color_values is None else thing.color_values.choice
    for value in values:
        if type(value).__name__ == "ReflectanceSpectrum":
            specification = specifications.get(value.color_specification)
            start, step = _wavelengths(value, specification)
            return {f"R{start + step * i:g}": repr(float(v)) for i, v in enumerate(value.value)}
    for value in values:
        if type(value).__name__ == "ColorCielab":
            cells = {"L": repr(value.l), "a": repr(value.a), "b": repr(value.b)}
            return {**cells, **_light(specifications.get(value.color_specification))}
    return {}


def _wavelengths(value: Any, specification: Any) -> tuple[float, float]:
    """First wavelength and step [nm]; without a step in the file, 10 nm as is usual."""
    spec = None if specification is None else specification.measurement_spec
    span = None if spec is None else spec.wavelength_range
    start = value.start_wl if span is None or value.start_wl is not None else span.start_wl
    return float(start or 400), float(10 if span is None else span.increment)


def _light(specification: Any) -> dict[str, str]:
    spec = None if specification is None else specification.tristimulus_spec
    if spec is None:
        return {}
    light = spec.illuminant_or_custom_illuminant
    observer = spec.observer
    cells = {}
    if light is not None and getattr(light.value, "value", None):
        cells["illuminant"] = light.value.value
    if observer is not None and observer.value is not None:
        cells["observer"] = OBSERVERS.get(observer.value.value, observer.value.value)
    return cells


def to_cxf(swatches: Swatches) -> bytes:
    """CxF file of the readings, colours as CIELAB, conditions as tags.

    Raises
    ------
    LiftError
        When the library is not installed, or CxF has no name for the illuminant.
    """
    from datetime import UTC, datetime

    from lift.research.swatches.written import table_rows

    library = _library()
    cxf3 = library.cxf3
    from xsdata.models.datatype import XmlDateTime

    now = XmlDateTime.from_datetime(datetime.now(UTC).replace(microsecond=0))
    words = (*START, *PHOTO, *CARRIED, "illuminant", "observer")
    names = [c.name for c in CONDITIONS if c.name not in words]
    objects = []
    for number, row in enumerate(table_rows(swatches, names), 1):
        tags = [cxf3.Tag(name=n, value=row[n]) for n in names if row[n]]
        colour = cxf3.ColorCielab(
            l=float(row["L"]),
            a=float(row["a"]),
            b=float(row["b"]),
            color_specification=SPECIFICATION,
        )
        objects.append(
            cxf3.Object(
                creation_date=cxf3.CreationDate(value=now),
                color_values=cxf3.ColorValues(choice=[colour]),
                tag_collection=[cxf3.TagCollection(tag=tags, name=TAGS)],
                object_type="Standard",
                name=f"{row['swatch']} {row['minutes']} min",
                id=f"c{number}",
            )
        )
    invented = str(note("swatches.invented")) if swatches.invented else ""
    document = cxf3.CxF(
        file_information=cxf3.FileInformation(
            creator="lift",
            creation_date=cxf3.CreationDate(value=now),
            description="; ".join(t for t in (invented, swatches.source) if t),
        ),
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(object_value=objects),
            color_specification_collection=cxf3.ColorSpecificationCollection(
                color_specification=[_specification(cxf3, swatches)]
            ),
        ),
    )
    content: bytes = library.write_cxf(document)
    return content


def _specification(cxf3: Any, swatches: Swatches) -> Any:
    known = {light.value for light in cxf3.EilluminantType}
    if swatches.illuminant not in known:
        raise LiftError("cxf.illuminant", illuminant=swatches.illuminant)
    degree = f"{swatches.observer}_Degree"
    return cxf3.ColorSpecification(
        tristimulus_spec=cxf3.TristimulusSpec(
            illuminant_or_custom_illuminant=cxf3.Illuminant(
                value=cxf3.EilluminantType(swatches.illuminant)
            ),
            observer=cxf3.Observer(value=cxf3.EobserverType(degree)),
            method=cxf3.Method(value=cxf3.EastmTableType("unknown")),
        ),
        measurement_spec=cxf3.MeasurementSpec(
            measurement_type=cxf3.MeasurementType(
                value=cxf3.EspectrumType("Colorimetric_Reflectance")
            ),
            geometry_choice=cxf3.GeometryChoice(choice="unknown"),
        ),
        id=SPECIFICATION,
    )
