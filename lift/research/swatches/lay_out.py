"""From the cells of a sheet to rows under the columns that its headings mean."""

from __future__ import annotations

from difflib import get_close_matches

from lift.errors import LiftError
from lift.research.swatches.cells import with_points
from lift.research.swatches.columns import BY_NAME, is_own, reflectance_columns
from lift.research.swatches.headings import column_of, meant
from lift.research.swatches.raw import Fault, Header, Raw, Sheet
from lift.research.swatches.sheet import heading_row
from lift.words import Note, note

TYPED_WRONG = 0.8
"""Likeness [-] to a column from which a heading is taken for one that is typed wrong: assumed."""


def lay_out(sheet: Sheet, faults: list[Fault]) -> tuple[Header, list[Raw], tuple[Note, ...]]:
    """Columns, rows, and what was taken to mean what.

    A heading that means no column is a column of one's own and keeps its name, unless it is nearly
    one that is known. Columns and rows without anything in them are passed over.
    """
    line, headings = heading_row(sheet.lines)
    below = [(number, cells) for number, cells in sheet.lines if number > line]
    told = list(sheet.told)
    if above := sum(number < line for number, _ in sheet.lines):
        told.append(note("swatches.above", count=above, line=line))
    used = [i for i, name in enumerate(headings) if name or _holds(below, i)]
    width = max(used, default=-1) + 1
    names = []
    for i in used:
        names.append(_named(headings[i], line, faults))
        if not headings[i]:
            faults.append(Fault(line, "", "", note("fault.no_heading", number=i + 1)))
    told += meant([headings[i] for i in used], names)
    waves = reflectance_columns(names)
    told += [note("swatches.own_column", name=n) for n in names if n and is_own(n, waves)]
    header = Header(line, tuple(names))
    raws = [_row(number, cells, header, used, width, sheet.unit, faults) for number, cells in below]
    if any(fault.line == line for fault in faults):
        return header, raws, tuple(told)
    raws, commas = with_points(raws, waves)
    return header, raws, (*told, *commas)


def _named(heading: str, line: int, faults: list[Fault]) -> str:
    try:
        column = column_of(heading)
    except LiftError as error:
        faults.append(Fault(line, heading, "", error.note))
        return heading
    if column is not None:
        return column
    if near := get_close_matches(heading.casefold(), BY_NAME, n=1, cutoff=TYPED_WRONG):
        reason = note("fault.unknown_column", meant=note("choice.meant", near=near[0]))
        faults.append(Fault(line, heading, heading, reason))
    return heading


def _holds(rows: list[tuple[int, tuple[str, ...]]], column: int) -> bool:
    return any(len(cells) > column and cells[column] for _, cells in rows)


def _row(
    number: int,
    cells: tuple[str, ...],
    header: Header,
    used: list[int],
    width: int,
    unit: str,
    faults: list[Fault],
) -> Raw:
    # A workbook ends a row where its last cell is; in text every separator is written.
    short = unit == "line" and len(cells) < width
    if short or any(cells[width:]):
        count = len(cells) if short else max(i for i, c in enumerate(cells, 1) if c)
        reason = note("fault.header_has", count=width)
        faults.append(Fault(number, "", str(note("fault.cells", count=count)), reason))
        return Raw(number, {})
    filled = (*cells, *("",) * (width - len(cells)))
    return Raw(number, dict(zip(header.names, (filled[i] for i in used), strict=True)))
