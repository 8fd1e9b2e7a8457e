"""Cells of a file, whichever way a spreadsheet wrote it: separators, text encodings, workbooks."""

from __future__ import annotations

import codecs
import csv
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from io import BytesIO
from itertools import islice
from typing import Any

from lift.errors import LiftError
from lift.research.swatches.headings import column_of
from lift.research.swatches.raw import Sheet
from lift.words import note

WORKBOOK = ".xlsx"
SEPARATORS = {",": "separator.comma", ";": "separator.semicolon", "\t": "separator.tab"}
"""What may stand between cells, and its code; the usual one first."""

MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
"""What a text of each encoding begins with."""

ABOVE = 40
"""Rows in which the headings are looked for; above them may stand words."""

MOST_UNPACKED = 500_000_000
"""Size of a workbook once it is unpacked [byte]: chosen, so that none fills the memory."""


def read_text(content: bytes) -> Sheet:
    """Cells of text, by the separator under which most headings are known.

    Raises
    ------
    LiftError
        When it is no text.
    """
    text, encoding = _decoded(content)
    told = [] if encoding is None else [note("swatches.encoding", encoding=encoding)]
    separator, first = None, text[:10].split("\n", 1)[0].strip()
    if first.casefold().startswith("sep=") and len(first) == 5:
        # A spreadsheet's own line, for its own use.
        separator, text = first[4], "\n" + text.split("\n", 1)[-1]
    if separator not in SEPARATORS:
        # Of separators that tell equally many the usual one comes first.
        tops = {each: tuple(islice(_lines(text, each), ABOVE)) for each in SEPARATORS}
        separator = max(tops, key=lambda each: _headings(tops[each]))
    if separator != ",":
        told.append(note("swatches.separator", separator=note(SEPARATORS[separator])))
    words = tuple(line for line in text.split("\n") if line.startswith("#"))
    return Sheet(_without_words(_lines(text, separator)), words, tuple(told))


def read_workbook(content: bytes, name: str) -> Sheet:
    """Cells of the sheet of a workbook in which most headings are known.

    Raises
    ------
    LiftError
        When it is no workbook, unpacks to too much, or the extra is not installed.
    """
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise LiftError("swatches.needs_workbook", name=name) from None
    try:
        with zipfile.ZipFile(BytesIO(content)) as packed:
            unpacked = sum(each.file_size for each in packed.infolist())
        if unpacked > MOST_UNPACKED:
            raise LiftError("swatches.workbook_large", name=name, most=MOST_UNPACKED / 1e6)
        book = load_workbook(BytesIO(content), read_only=True, data_only=True)
        sheets = {each.title: tuple(_rows(each)) for each in book.worksheets}
    except LiftError:
        raise
    except Exception:  # a broken workbook breaks the library in any way
        raise LiftError("swatches.no_workbook", name=name) from None
    if not sheets:
        return Sheet((), (), unit="row")
    title = max(sheets, key=lambda each: _headings(sheets[each]))
    told = [note("swatches.sheet", title=title, count=len(sheets))] if len(sheets) > 1 else []
    lines = sheets[title]
    words = tuple(row[0] for rows in sheets.values() for _, row in rows if _is_word(row))
    return Sheet(_without_words(lines), words, tuple(told), "row")


def heading_row(lines: Sequence[tuple[int, tuple[str, ...]]]) -> tuple[int, tuple[str, ...]]:
    """Line and cells of the headings: of the first rows the one with most that are known."""
    top = [line for line in lines if not _is_word(line[1])][:ABOVE]
    return max(top, key=lambda line: sum(map(_is_heading, line[1])), default=(1, ()))


def _headings(lines: Sequence[tuple[int, tuple[str, ...]]]) -> int:
    return sum(map(_is_heading, heading_row(lines)[1]))


def _is_heading(cell: str) -> bool:
    try:
        return column_of(cell) is not None
    except LiftError:
        return True


def _decoded(content: bytes) -> tuple[str, str | None]:
    """Text, and the encoding where it is another than UTF-8."""
    for mark, encoding in MARKS:
        if content.startswith(mark):
            told = None if encoding == "utf-8-sig" else encoding.upper()
            return _plain(content, encoding), told
    start = content[:2000]
    for odd, encoding in ((1, "utf-16-le"), (0, "utf-16-be")):
        # Latin letters in 16 bits: every second byte is zero.
        if len(start) > 3 and start[odd::2].count(0) > 0.8 * (len(start) // 2):
            return _plain(content, encoding), "UTF-16"
    try:
        return _plain(content, "utf-8"), None
    except LiftError:
        return _plain(content, "cp1252", "replace"), "Latin-1"


def _plain(content: bytes, encoding: str, errors: str = "strict") -> str:
    try:
        text = content.decode(encoding, errors)
    except UnicodeDecodeError:
        raise LiftError("swatches.no_text") from None
    if "\0" in text:
        raise LiftError("swatches.no_text")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _lines(text: str, separator: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Number and cells of each line of text; a quoted cell may run over several."""
    given = iter(text.split("\n"))
    count = 0

    def counted() -> Iterator[str]:
        nonlocal count
        for line in given:
            count += 1
            # Words for people may hold single quotation marks.
            yield "" if line.startswith("#") else line + "\n"

    reader = csv.reader(counted(), delimiter=separator)
    start = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise LiftError("swatches.no_csv", line=start, reason=str(error)) from None
        if any(cells):
            yield start, tuple(cell.strip() for cell in cells)
        start = count + 1


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


def _is_word(cells: Sequence[str]) -> bool:
    return bool(cells) and cells[0].startswith("#")


def _without_words(
    lines: Iterable[tuple[int, tuple[str, ...]]],
) -> tuple[tuple[int, tuple[str, ...]], ...]:
    return tuple(line for line in lines if not _is_word(line[1]))
