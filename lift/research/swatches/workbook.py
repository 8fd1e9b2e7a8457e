"""Workbooks (ISO/IEC 29500, ``.xlsx``) through the ``openpyxl`` library: reading and writing."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from io import BytesIO
from typing import Any

from lift.errors import LiftError
from lift.research.swatches.columns import BY_NAME, CHOICES, INSTRUMENTS, TEXT, Column
from lift.research.swatches.raw import Sheet
from lift.research.swatches.sheet import headings_in, is_word, without_words
from lift.words import note, say

WORKBOOK = ".xlsx"
PACKED = b"PK\x03\x04"
"""What a workbook begins with, whatever it is called."""

MOST_UNPACKED = 500_000_000
"""Size of a workbook once it is unpacked [byte]: chosen, so that none fills the memory."""

MORE_ROWS = 1000
"""Rows below those filled in that offer their lists, too."""


def read_workbook(content: bytes, name: str) -> Sheet:
    """Cells of the sheet of a workbook in which most headings are known.

    Raises
    ------
    LiftError
        When it is no workbook, unpacks to too much, or the extra is not installed.
    """
    library = _library(name)
    try:
        with zipfile.ZipFile(BytesIO(content)) as packed:
            unpacked = sum(each.file_size for each in packed.infolist())
        if unpacked > MOST_UNPACKED:
            raise LiftError("swatches.workbook_large", name=name, most=MOST_UNPACKED / 1e6)
        book = library.load_workbook(BytesIO(content), read_only=True, data_only=True)
        sheets = {each.title: tuple(_rows(each)) for each in book.worksheets}
    except LiftError:
        raise
    except Exception:  # a broken workbook breaks the library in any way
        raise LiftError("swatches.no_workbook", name=name) from None
    if not sheets:
        return Sheet((), (), unit="row")
    title = max(sheets, key=lambda each: headings_in(sheets[each]))
    told = [note("swatches.sheet", title=title, count=len(sheets))] if len(sheets) > 1 else []
    lines = sheets[title]
    words = tuple(row[0] for rows in sheets.values() for _, row in rows if is_word(row))
    return Sheet(without_words(lines), words, tuple(told), "row")


def _rows(sheet: Any) -> Iterator[tuple[int, tuple[str, ...]]]:
    for number, row in enumerate(sheet.iter_rows(values_only=True), 1):
        cells = [_cell(value) for value in row]
        while cells and not cells[-1]:
            del cells[-1]
        if cells:
            yield number, tuple(cells)


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value)
    return f"{value:.12g}" if isinstance(value, int | float) else str(value).strip()


def to_workbook(
    words: Sequence[str],
    rows: Sequence[Mapping[str, str]],
    classes: Iterable[str],
    name: str,
) -> bytes:
    """Workbook of swatches: their rows, and a sheet that says what each column holds.

    Parameters
    ----------
    words : sequence of str
        What stands above the headings for people.
    rows : sequence of mapping
        Cells by column; all have the columns of the first.
    classes : iterable of str
        Classes of mixture, offered in a list.
    name : str
        Of the file, for errors.

    Raises
    ------
    LiftError
        When the extra is not installed.
    """
    library = _library(name)
    book = library.Workbook()
    sheet = book.active
    sheet.title = say("workbook.readings")
    for word in words:
        sheet.append([f"# {word}"])
    columns = [BY_NAME.get(heading, Column(heading)) for heading in rows[0]]
    sheet.append([_heading(column) for column in columns])
    top = sheet.max_row
    for row in rows:
        sheet.append([_value(column, row[column.name]) for column in columns])
    _shape(library, sheet, top)
    _offer(library, sheet, columns, top, {"mixture": [*classes]})
    about = book.create_sheet(say("workbook.about"))
    heads = ("column", "meaning", "unit", "range", "when_empty")
    about.append([say(f"head.{each}") for each in heads])
    for column in columns:
        if column.name in BY_NAME:
            about.append([*map(str, explained(column, classes))])
    _shape(library, about, 1, widest=70)
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def explained(column: Column, classes: Iterable[str] | None = None) -> tuple[Any, ...]:
    """What a column holds: name, meaning, unit, range and what stands for an empty cell."""
    span = "" if column.low is None else note("swatches.range", low=column.low, high=column.high)
    empty = note("swatches.required") if column.empty is None else column.empty
    return column.name, column.meaning(classes), column.unit, span, empty


def _heading(column: Column) -> str:
    return column.name if column.unit in (TEXT, "-") else f"{column.name} [{column.unit}]"


def _value(column: Column, text: str) -> Any:
    """A number where the column holds numbers, so that a spreadsheet can reckon with it."""
    try:
        return float(text) if text and column.unit != TEXT else text or None
    except ValueError:
        return text


def _shape(library: Any, sheet: Any, top: int, widest: int = 18) -> None:
    """Headings that stay in sight, and columns as wide as what they hold."""
    bold = library.styles.Font(bold=True)
    wrapped = library.styles.Alignment(wrap_text=True, vertical="top")
    for cell in sheet[top]:
        cell.font = bold
    sheet.freeze_panes = sheet.cell(top + 1, 1)
    for column in sheet.iter_cols(min_row=top):
        longest = max(len(str(cell.value or "")) for cell in column)
        letter = column[0].column_letter
        sheet.column_dimensions[letter].width = min(longest, widest) + 3
        if longest > widest:
            for cell in column:
                cell.alignment = wrapped


def _offer(
    library: Any,
    sheet: Any,
    columns: Sequence[Column],
    top: int,
    lists: Mapping[str, Sequence[str]],
) -> None:
    """Drop-down lists of words, and ranges of numbers that a spreadsheet holds its user to."""
    known = {"measured_with": INSTRUMENTS, **CHOICES, **lists}
    for number, column in enumerate(columns, 1):
        letter = sheet.cell(top, number).column_letter
        kind = library.worksheet.datavalidation.DataValidation
        if column.name in known:
            words = ",".join(known[column.name])
            held = kind(type="list", formula1=f'"{words}"', allow_blank=True)
        elif column.low is not None and column.name != "fibre":
            held = kind(
                type="decimal",
                operator="between",
                formula1=f"{column.low:g}",
                formula2=f"{column.high:g}",
                allow_blank=True,
            )
        else:
            continue
        held.prompt = str(column.meaning(lists["mixture"]))[:250]
        held.promptTitle = column.name
        held.showInputMessage = held.showErrorMessage = True
        held.add(f"{letter}{top + 1}:{letter}{sheet.max_row + MORE_ROWS}")
        sheet.add_data_validation(held)


def _library(name: str) -> Any:
    try:
        import openpyxl
        import openpyxl.worksheet.datavalidation
    except ImportError:
        raise LiftError("swatches.needs_workbook", name=name) from None
    return openpyxl
