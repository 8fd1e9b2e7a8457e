"""Swatch files: tidy CSV in and out, every bad cell named, nothing dropped."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from lift.errors import LiftError
from lift.files import Kind, NamedPath, as_text, read_bytes, write_whole
from lift.model.mixtures import MixtureClasses
from lift.research.swatches.columns import (
    BY_NAME,
    COLOURS,
    CONDITIONS,
    OF_THE_SWATCH,
    PHOTO,
    SD,
    START,
)
from lift.research.swatches.rows import Fault, Header, Raw, read_rows
from lift.research.swatches.table import PHOTOGRAPH_BIAS, Swatches
from lift.words import Note, note

INVENTED_MARK = "INVENTED"
KIND = Kind("file.swatches")
ENDINGS = (".csv", ".cxf")
WHAT = "file.swatches"
MOST_BYTES = 50_000_000


@dataclass(frozen=True, eq=False)
class SwatchFile:
    """What was found in a swatch file.

    Parameters
    ----------
    path : str
        As given.
    unit : str
        What a fault's number counts: ``line`` or, in CxF, ``object``.
    rows : int
        Rows found.
    faults : tuple of Fault
        Every bad cell; empty when the file can be used.
    remarks : tuple of Note
        What looks odd but is allowed.
    swatches : Swatches or None
        The readings; None as soon as there is a fault.
    """

    path: str
    unit: str
    rows: int
    faults: tuple[Fault, ...]
    remarks: tuple[Note, ...]
    swatches: Swatches | None


def check_swatches(
    path: NamedPath,
    conditions: NamedPath | None = None,
    classes: MixtureClasses | None = None,
) -> SwatchFile:
    """Read a swatch file and report everything that is wrong with it.

    Parameters
    ----------
    path : path-like
        CSV, or CxF by the ending ``.cxf``.
    conditions : path-like, optional
        For CxF whose objects carry no conditions: a CSV with the same columns but the colours,
        and a column ``object`` that names the CxF object of each row.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Returns
    -------
    SwatchFile

    Raises
    ------
    LiftError
        When the file cannot be read at all.

    Examples
    --------
    >>> check_swatches("shared/invented_swatches.csv").faults
    ()
    """
    where = Path(path)
    content = read_bytes(path, MOST_BYTES, WHAT)
    KIND.check_version(_version(content), where)
    sha256 = hashlib.sha256(content).hexdigest()
    faults: list[Fault] = []
    if where.suffix.lower() == ".cxf":
        from lift.research.swatches.cxf import cxf_rows

        extra = None
        if conditions is not None:
            given = as_text(read_bytes(conditions, MOST_BYTES, WHAT), WHAT, conditions)
            extra = parse_csv(given, faults)[1]
        header, raws, invented = cxf_rows(content, extra, faults)
        unit = "object"
    else:
        if conditions is not None:
            raise LiftError("swatches.own_conditions", name=where.name)
        text = as_text(content, WHAT, path)
        header, raws = parse_csv(text, faults)
        invented = any(INVENTED_MARK in line for line in text.splitlines() if line.startswith("#"))
        unit = "line"
    swatches, remarks = read_rows(
        header,
        raws,
        faults,
        source=where.name,
        invented=invented,
        sha256=sha256,
        classes=classes,
        folder=where.parent,
    )
    ordered = tuple(sorted(faults, key=lambda f: f.line))
    return SwatchFile(str(path), unit, len(raws), ordered, remarks, swatches)


def read_swatches(
    path: NamedPath,
    conditions: NamedPath | None = None,
    classes: MixtureClasses | None = None,
) -> Swatches:
    """Read a swatch file; see `check_swatches`.

    Raises
    ------
    LiftError
        When anything in it is wrong, naming the first bad cell and how many there are.

    Examples
    --------
    >>> import lift
    >>> from lift.reference import FOLDER
    >>> len(lift.lab.read_swatches(FOLDER.parent / "shared" / "invented_swatches.csv").names)
    8
    """
    found = check_swatches(path, conditions, classes)
    if found.swatches is None:
        first, count = found.faults[0], len(found.faults)
        more = note("swatches.more_faults", more=count - 1, path=path) if count > 1 else ""
        unit = note(f"fault.{found.unit}")
        raise LiftError("swatches.bad", path=path, unit=unit, fault=first.note, more=more)
    return found.swatches


def parse_csv(text: str, faults: list[Fault]) -> tuple[Header, list[Raw]]:
    """Header and rows of CSV text; lines that begin with ``#`` are words for people."""
    header: Header | None = None
    raws: list[Raw] = []
    for line, content in enumerate(text.splitlines(), 1):
        if not content.strip() or content.startswith("#"):
            continue
        try:
            cells = [cell.strip() for cell in next(csv.reader([content]))]
        except csv.Error as error:
            faults.append(Fault(line, "", content[:40], note("text", text=str(error))))
            continue
        if header is None:
            header = Header(line, tuple(cells))
            if len(cells) == 1 and ";" in content:
                faults.append(Fault(line, "", content[:40], note("fault.commas")))
        elif len(cells) != len(header.names):
            reason = note("fault.header_has", count=len(header.names))
            said = str(note("fault.cells", count=len(cells)))
            faults.append(Fault(line, "", said, reason))
            raws.append(Raw(line, {}))
        else:
            raws.append(Raw(line, dict(zip(header.names, cells, strict=True))))
    return header or Header(1, ()), raws


def to_csv(swatches: Swatches) -> str:
    """Text of the swatch file; reading it gives the same readings again."""
    left_out = {*START, *PHOTO, "note"}
    if np.isnan(swatches.pheomelanin_share).all():
        left_out.add("pheomelanin_share")
    if np.isnan(swatches.own_sd).all():
        left_out |= {*SD}
    names = [c.name for c in CONDITIONS if c.name not in left_out]
    out = io.StringIO()
    if swatches.source:
        out.write(f"# {swatches.source}\n")
    if swatches.invented and INVENTED_MARK not in swatches.source:
        out.write(f"# {note('swatches.invented')}\n")
    columns = (*names, *(c.name for c in COLOURS))
    out.writelines(f"{line}\n" for line in described(columns, swatches.classes))
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*names, "L", "a", "b"])
    writer.writerows([*row.values()] for row in table_rows(swatches, names))
    return out.getvalue()


def described(names: Iterable[str], classes: MixtureClasses) -> list[str]:
    """Line for people on what each column holds, where there are those classes of mixture."""
    return [f"# {n}: {BY_NAME[n].meaning(classes)} [{BY_NAME[n].unit}]" for n in names]


def table_rows(swatches: Swatches, names: Sequence[str]) -> list[dict[str, str]]:
    """Cells of each row, by column, with the colours as they were read."""
    bias = np.where(swatches.photograph[:, None], PHOTOGRAPH_BIAS, 0.0)
    lab = np.round(swatches.lab + bias, 3)
    level, share = (getattr(swatches, name)[swatches.swatch] for name in OF_THE_SWATCH)
    own_sd = swatches.own_sd
    with_chart = ~np.isnan(own_sd[:, 0])
    measured_with = np.where(with_chart, "chart", "instrument")
    measured_with[swatches.photograph] = "photograph"
    rows = []
    for i, kind in enumerate(swatches.kind):
        cells = {
            "swatch": swatches.names[swatches.swatch[i]],
            "mixture": kind,
            "volume": f"{swatches.volume[i]:.6g}",
            "minutes": f"{swatches.minutes[i]:.6g}",
            "measured_with": measured_with[i],
            "level": "" if np.isnan(level[i]) else f"{level[i]:.6g}",
            "pheomelanin_share": "" if np.isnan(share[i]) else f"{share[i]:.6g}",
            "developer_parts": f"{swatches.developer_parts[i]:.6g}",
            "fibre": f"{swatches.fibre_um[i]:.6g}",
            "temperature_c": f"{swatches.temperature_c[i]:.6g}",
            "ph": "" if np.isnan(swatches.ph[i]) else f"{swatches.ph[i]:.6g}",
            "repeats": f"{swatches.repeats[i]:.6g}",
            "illuminant": swatches.illuminant,
            "observer": str(swatches.observer),
            **dict(zip(SD, ("" if np.isnan(v) else f"{v:.6g}" for v in own_sd[i]), strict=True)),
        }
        colour = dict(zip(("L", "a", "b"), (f"{v:.3f}" for v in lab[i]), strict=True))
        rows.append({**{n: cells[n] for n in names}, **colour})
    return rows


def write_swatches(swatches: Swatches, path: NamedPath) -> None:
    """Write a swatch file, CSV or by its ending CxF, whole or not at all."""
    if Path(path).suffix.lower() == ".cxf":
        from lift.research.swatches.cxf import to_cxf

        content = to_cxf(swatches)
    else:
        content = to_csv(swatches).encode("utf-8")
    write_whole(path, content, WHAT)


def _version(content: bytes) -> int | None:
    """Version that a comment, or the description in CxF, tells; the first one tells nothing."""
    found = re.search(rb"\blift-swatches: (\d{1,9})\b", content)
    return None if found is None else int(found[1])
