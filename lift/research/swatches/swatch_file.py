"""Swatch files: tidy CSV in and out, every bad cell named, nothing dropped."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import repeat
from pathlib import Path

import numpy as np

from lift.errors import LiftError, named
from lift.files import Kind, NamedPath, read_bytes, shown_path, write_whole
from lift.model.mixtures import MixtureClasses
from lift.research.swatches.columns import (
    BY_NAME,
    CARRIED,
    COLOURS,
    CONDITIONS,
    OF_THE_SWATCH,
    PHOTO,
    SD,
    START,
)
from lift.research.swatches.lay_out import lay_out
from lift.research.swatches.plausible import doubts
from lift.research.swatches.raw import Fault, Sheet
from lift.research.swatches.rows import read_rows
from lift.research.swatches.sheet import WORKBOOK, read_text, read_workbook
from lift.research.swatches.table import PHOTOGRAPH_BIAS, Swatches
from lift.words import Note, note

INVENTED_MARK = "INVENTED"
KIND = Kind("file.swatches")
ENDINGS = (".csv", ".cxf")
WHAT = "file.swatches"
PACKED = b"PK\x03\x04"
"""What a workbook begins with, whatever it is called."""

MOST_BYTES = 50_000_000


@dataclass(frozen=True, eq=False)
class SwatchFile:
    """What was found in a swatch file.

    Parameters
    ----------
    path : str
        As given.
    unit : str
        What a fault's number counts: ``line``, in a workbook ``row``, in CxF ``object``.
    rows : int
        Rows found.
    faults : tuple of Fault
        Every bad cell; empty when the file can be used.
    remarks : tuple of Note
        What looks odd but is allowed.
    told : tuple of Note
        What was taken to mean what, where it was not written as lift writes it.
    doubts : tuple of Note
        What looks like a mistake of a whole column.
    swatches : Swatches or None
        The readings; None as soon as there is a fault.
    """

    path: str
    unit: str
    rows: int
    faults: tuple[Fault, ...]
    remarks: tuple[Note, ...]
    told: tuple[Note, ...]
    doubts: tuple[Note, ...]
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
        By its ending: CxF (``.cxf``), a workbook (``.xlsx``, extra ``sheet``), or else text, whose
        cells commas, semicolons or tabs part.
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
    sha256 = hashlib.sha256(content).hexdigest()
    faults: list[Fault] = []
    told: tuple[Note, ...] = ()
    if where.suffix.lower() == ".cxf":
        from lift.research.swatches.cxf import cxf_rows

        _check_version(content, where)
        extra = None
        if conditions is not None:
            _, extra, told = lay_out(_sheet(conditions), faults)
        header, raws, invented = cxf_rows(content, extra, faults)
        unit = "object"
    else:
        if conditions is not None:
            raise LiftError("swatches.own_conditions", name=where.name)
        sheet = _sheet(path, content)
        words = "\n".join(sheet.words)
        _check_version(words.encode(), where)
        header, raws, told = lay_out(sheet, faults)
        invented = INVENTED_MARK in words
        unit = sheet.unit
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
    doubted = doubts(swatches) if swatches is not None else ()
    return SwatchFile(str(path), unit, len(raws), ordered, remarks, told, doubted, swatches)


def read_swatches(
    path: NamedPath,
    conditions: NamedPath | None = None,
    classes: MixtureClasses | None = None,
    *,
    as_read: bool = False,
) -> Swatches:
    """Read a swatch file; see `check_swatches` and `usable`.

    Raises
    ------
    LiftError
        When anything in it is wrong, or a whole column looks so and `as_read` is not asked for.

    Examples
    --------
    >>> import lift
    >>> from lift.reference import FOLDER
    >>> len(lift.lab.read_swatches(FOLDER.parent / "shared" / "invented_swatches.csv").names)
    8
    """
    return usable(check_swatches(path, conditions, classes), as_read=as_read)


def usable(found: SwatchFile, *, as_read: bool = False) -> Swatches:
    """Readings of a file that was checked; `as_read` takes them for what they say.

    Raises
    ------
    LiftError
        When anything in it is wrong, naming the first bad cell and how many there are, or when a
        whole column looks like a mistake and is not to be taken as read.
    """
    if found.swatches is not None:
        if found.doubts and not as_read:
            raise LiftError("swatches.doubtful", path=found.path, doubt=found.doubts[0])
        return found.swatches
    first, count = found.faults[0], len(found.faults)
    more = note("swatches.more_faults", more=count - 1, path=found.path) if count > 1 else ""
    unit = note(f"fault.{found.unit}")
    raise LiftError("swatches.bad", path=found.path, unit=unit, fault=first.note, more=more)


def to_csv(swatches: Swatches) -> str:
    """Text of the swatch file; reading it gives the same readings again."""
    left_out = {*START, *PHOTO, *CARRIED}
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
    writer.writerow([*names, "L", "a", "b", *swatches.carried])
    carried = zip(*swatches.carried.values(), strict=True) if swatches.carried else repeat(())
    for row, more in zip(table_rows(swatches, names), carried, strict=False):
        writer.writerow([*row.values(), *more])
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


def _sheet(path: NamedPath, content: bytes | None = None) -> Sheet:
    content = read_bytes(path, MOST_BYTES, WHAT) if content is None else content
    where = Path(path)
    if where.suffix.lower() == WORKBOOK or content.startswith(PACKED):
        return read_workbook(content, shown_path(where.name))
    try:
        return read_text(content)
    except LiftError as error:
        raise LiftError(
            "file.cannot_read", what=named(WHAT), path=shown_path(where), reason=error.note
        ) from None


def _check_version(content: bytes, where: Path) -> None:
    """Of a comment, or the description in CxF; the first version tells nothing."""
    found = re.search(rb"\blift-swatches: (\d{1,9})\b", content)
    KIND.check_version(None if found is None else int(found[1]), where)
