"""Swatch files: tidy CSV in and out, every bad cell named, nothing dropped."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from lift.errors import LiftError, named
from lift.files import Kind, NamedPath, read_bytes, shown_path
from lift.model.mixtures import MixtureClasses
from lift.research.swatches.lay_out import lay_out
from lift.research.swatches.plausible import doubts
from lift.research.swatches.raw import INVENTED_MARK, WHAT, Fault, Sheet
from lift.research.swatches.rows import read_rows
from lift.research.swatches.sheet import read_text
from lift.research.swatches.table import Swatches
from lift.research.swatches.workbook import PACKED, WORKBOOK, read_workbook
from lift.results import Result
from lift.words import Note, note

KIND = Kind(WHAT)
MOST_BYTES = 50_000_000


@dataclass(frozen=True, eq=False, repr=False)
class SwatchFile(Result):
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
