"""Cells of text, whichever way a spreadsheet wrote it: separators, encodings, words for people."""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from lift.errors import LiftError
from lift.research.swatches.headings import column_of
from lift.research.swatches.raw import Sheet
from lift.words import note

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
        separator = max(tops, key=lambda each: headings_in(tops[each]))
    if separator != ",":
        told.append(note("swatches.separator", separator=note(SEPARATORS[separator])))
    words = tuple(line for line in text.split("\n") if line.startswith("#"))
    return Sheet(without_words(_lines(text, separator)), words, tuple(told))


def heading_row(lines: Sequence[tuple[int, tuple[str, ...]]]) -> tuple[int, tuple[str, ...]]:
    """Line and cells of the headings: of the first rows the one with most that are known."""
    top = [line for line in lines if not is_word(line[1])][:ABOVE]
    return max(top, key=lambda line: sum(map(_is_heading, line[1])), default=(1, ()))


def headings_in(lines: Sequence[tuple[int, tuple[str, ...]]]) -> int:
    """How many headings are known in the row that has most."""
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


def is_word(cells: Sequence[str]) -> bool:
    """Whether a row is words for people."""
    return bool(cells) and cells[0].startswith("#")


def without_words(
    lines: Iterable[tuple[int, tuple[str, ...]]],
) -> tuple[tuple[int, tuple[str, ...]], ...]:
    """Lines but for words for people."""
    return tuple(line for line in lines if not is_word(line[1]))
