"""What spreadsheets write is read, and said; what could mean two things is refused."""

import csv
import io
import time

import numpy as np
import pytest

from lift import LiftError
from lift.research.swatches.columns import BY_NAME
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.swatches.headings import column_of
from lift.research.swatches.plausible import doubts, remarks
from lift.research.swatches.swatch_file import check_swatches, read_swatches
from lift.research.swatches.written import write_swatches, write_template

ROWS = [
    ["swatch", "mixture", "volume", "minutes", "measured_with", "level", "L", "a", "b"],
    ["brown", "cream", "20", "0", "instrument", "4", "25.25", "5.5", "7.1"],
    ["brown", "cream", "20", "30", "instrument", "4", "35.5", "11.2", "20.4"],
    ["blond", "powder", "30", "0", "instrument", "", "50.1", "9.3", "22.9"],
    ["blond", "powder", "30", "20", "instrument", "", "68.0", "7.4", "26.2"],
]
"""Invented."""


KINDS = ("cream", "powder", "base-break")


def text(rows=ROWS, separator=",", comma=False):
    if comma:
        rows = [rows[0], *([cell.replace(".", ",") for cell in row] for row in rows[1:])]
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows(rows)
    return out.getvalue()


@pytest.fixture
def check(tmp_path):
    def check(content, encoding="utf-8", name="lab.csv"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
        return check_swatches(path)

    return check


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    path = tmp_path_factory.mktemp("plain") / "lab.csv"
    path.write_text(text(), "utf-8")
    return read_swatches(path)


def same(found, plain):
    assert found.faults == ()
    assert found.swatches.names == plain.names
    assert found.swatches.kind == plain.kind
    for name in ("lab", "level", "volume", "minutes"):
        np.testing.assert_array_equal(getattr(found.swatches, name), getattr(plain, name))


TOP = ",".join(ROWS[0])
FORMS = {
    "semicolons": (text(separator=";"), "utf-8", ["cells are parted by semicolons"]),
    "tabs": (text(separator="\t"), "utf-8", ["cells are parted by tabs"]),
    "a spreadsheet's own line": (
        "sep=;\n" + text(separator=";"),
        "utf-8",
        ["cells are parted by semicolons"],
    ),
    "decimal commas": (
        text(separator=";", comma=True),
        "utf-8",
        ["cells are parted by semicolons", "12 numbers have a decimal comma"],
    ),
    "quoted decimal commas": (text(comma=True), "utf-8", ["12 numbers have a decimal comma"]),
    "byte order mark": (text(), "utf-8-sig", []),
    "UTF-16": (text(separator="\t"), "utf-16", ["the text is UTF-16", "cells are parted by tabs"]),
    "UTF-16 without its mark": (text(), "utf-16-le", ["the text is UTF-16"]),
    "old line ends": (text().replace("\n", "\r\n"), "utf-8", []),
    "empty rows and columns": (
        text([[*row[:3], "", *row[3:], ""] for row in [ROWS[0], [""] * 9, *ROWS[1:], [""] * 9]]),
        "utf-8",
        [],
    ),
    "stars": (
        text().replace(TOP, TOP.replace("L,a,b", "L*,a*,b*")),
        "utf-8",
        ["'L*' is L, 'a*' is a, 'b*' is b"],
    ),
    "capitals": (
        text().replace(TOP, TOP.upper()).replace("cream", "Cream").replace("instr", "Instr"),
        "utf-8",
        [", ".join(f"{name.upper()!r} is {name}" for name in ROWS[0] if name != "L")],
    ),
    "units": (
        text().replace("minutes", "Time (min)").replace("volume", "Volume [vol]"),
        "utf-8",
        ["'Volume [vol]' is volume, 'Time (min)' is minutes"],
    ),
    "words above": (
        "A laboratory,,,,,,,,\n" + text(),
        "utf-8",
        ["1 rows above the headings in row 2 are passed over"],
    ),
}


@pytest.mark.parametrize("form", FORMS)
def test_forms_are_read_and_said(check, plain, form):
    content, encoding, said = FORMS[form]
    found = check(content, encoding)
    same(found, plain)
    assert [str(told) for told in found.told] == said


def test_latin_letters_of_old_are_read(check):
    found = check(text().replace("brown", "br\u00fcn"), "latin-1")
    assert found.swatches.names == ("br\u00fcn", "blond")
    assert [str(told) for told in found.told] == ["the text is Latin-1"]


@pytest.mark.parametrize("heading", ["R{:g}", "{:g}", "{:g} nm", "r{:g}nm", "Reflectance {:g}"])
def test_wavelengths_with_or_without_a_letter(check, heading):
    waves = np.arange(400.0, 701.0, 20.0)
    rows = [[*row[:6], *(f"{0.03 + 0.005 * i:.3f}" for i in range(waves.size))] for row in ROWS[1:]]
    for i, row in enumerate(rows):
        row[-1] = f"{0.11 + 0.01 * i:.2f}"
    found = check(text([[*ROWS[0][:6], *map(heading.format, waves)], *rows]))
    assert found.faults == ()
    told = [str(t) for t in found.told]
    first, last = heading.format(400.0), heading.format(700.0)
    wanted = [f"{first!r} to {last!r}, 16 columns, are reflectance"] if heading != "R{:g}" else []
    assert told == wanted


def test_a_cell_of_several_lines_is_one_cell(check, plain):
    rows = [[*row, "by the\nwindow, #2"] for row in ROWS]
    rows[0][-1] = "note"
    found = check(text(rows))
    same(found, plain)
    assert found.swatches.carried["note"] == ("by the\nwindow, #2",) * 4
    broken = check(text(rows).replace("7.4", "x"))
    # Counted in the file's own lines.
    assert [(f.line, f.column) for f in broken.faults] == [(8, "a")]


def test_ones_own_columns_are_carried_along(check, plain, tmp_path):
    rows = [
        [*row, extra] for row, extra in zip(ROWS, ["weather", "", "rain", "", "sun"], strict=True)
    ]
    found = check(text(rows))
    same(found, plain)
    assert [str(t) for t in found.told] == [
        "'weather' is a column of one's own; it is carried along"
    ]
    table = found.swatches
    assert table.carried == {"weather": ("", "rain", "", "sun")}
    assert table.only(1).carried == {"weather": ("", "sun")}
    write_swatches(table, tmp_path / "again.csv")
    assert read_swatches(tmp_path / "again.csv").carried == table.carried


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("level", "volumes", ("volumes", "unknown column; did you mean volume?")),
        ("level", "Volume", ("volume", "the column appears twice")),
        ("minutes", "time (h)", ("time (h)", "in h; give it in min")),
        ("volume", "Volume (%)", ("Volume (%)", "in %; give it in vol")),
    ],
)
def test_headings_that_mean_two_things_are_refused(check, old, new, fault):
    found = check(text().replace(old, new, 1))
    assert fault in [(f.column, str(f.reason)) for f in found.faults]


def test_a_comma_that_may_part_thousands_is_refused(check):
    rows = [[*ROWS[0], "repeats"], *([*row, "3"] for row in ROWS[1:])]
    rows[2][-1] = "1,000"
    rows = [[cell.replace(".", ",") for cell in row] for row in rows]
    ((fault),) = check(text(rows)).faults
    assert (fault.line, fault.column, fault.value) == (3, "repeats", "1,000")
    assert str(fault.reason) == "either 1000 or 1.000: write it without the comma"


def test_headings_of_data_are_none():
    assert column_of("20") is None
    assert column_of("1,234") is None
    assert column_of("") is None


@pytest.fixture
def book(tmp_path):
    library = pytest.importorskip("openpyxl")

    def write(rows, name="lab.xlsx", title="readings"):
        made = library.Workbook()
        made.active.title = "about"
        made.active.append(["# INVENTED: no hair was measured"])
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
        made.save(tmp_path / name)
        return tmp_path / name

    return write


def number(cell):
    try:
        return float(cell)
    except ValueError:
        return cell or None


def test_a_workbook_is_read(book, plain):
    """Empty rows and columns, numbers as numbers, and the sheet that holds the readings."""
    rows = [[None, *map(number, row)] for row in ROWS]
    found = check_swatches(book([[], ["A laboratory"], *rows[:2], [], *rows[2:]]))
    same(found, plain)
    assert found.unit == "row"
    assert found.swatches.invented
    assert [str(t) for t in found.told] == [
        "sheet 'readings' of 2 holds the readings",
        "1 rows above the headings in row 3 are passed over",
    ]


def test_faults_of_a_workbook_name_its_rows(book):
    rows = [[*map(number, row)] for row in ROWS]
    rows[3][-1] = "x"
    (fault,) = check_swatches(book(rows)).faults
    assert (fault.line, fault.column, fault.value) == (4, "b", "x")
    with pytest.raises(LiftError, match=r"lab\.xlsx, row 4, column b, 'x': not a number"):
        read_swatches(book(rows))


def test_what_is_no_workbook_is_refused(check, monkeypatch):
    with pytest.raises(LiftError, match=r"lab\.xlsx is not a workbook: save it as"):
        check(b"PK\x03\x04 and nothing more", name="lab.xlsx")
    monkeypatch.setitem(__import__("sys").modules, "openpyxl", None)
    with pytest.raises(LiftError, match=r"pip install 'lift\[sheet\]'"):
        check(b"", name="lab.xlsx")


def test_ten_thousand_readings_are_read(check):
    """How fast is for the benchmark; here that nothing grows with the square of it."""
    rows = [ROWS[0]]
    for i in range(2000):
        rows += [[f"s{i}", *row[1:5], "", *row[6:]] for row in ROWS[1:3]]
    start = time.process_time()
    assert len(check(text(rows)).swatches) == 4000
    assert time.process_time() - start < 8.0


# Columns that look like a mistake.


def changed(column, change):
    at = ROWS[0].index(column)
    return [ROWS[0], *([*row[:at], change(row[at]), *row[at + 1 :]] for row in ROWS[1:])]


def swapped():
    return [ROWS[0], *([*row[:-2], row[-1], row[-2]] for row in ROWS[1:])]


def share(rows):
    return [rows[0], *([*r[:-3], *(f"{float(v) / 100.0:.4f}" for v in r[-3:])] for r in rows[1:])]


DOUBTS = {
    "lightness": (share(ROWS), "L* seems to be 0 to 1 (at most 0.68): give it as 0 to 100"),
    "no_time": (
        [ROWS[0], *([*row[:3], "0", *row[4:]] for row in ROWS[1:])],
        "all times are 0 min: nothing is told of lightening",
    ),
    "hours": (
        changed("minutes", lambda cell: f"{float(cell) / 60.0:.3f}"),
        "minutes look like hours: none is over 0.5",
    ),
    "per_cent": (
        changed("volume", lambda cell: f"{0.3 * float(cell):g}"),
        "volumes look like per cent of H2O2: none is over 9, and 9% are 30 vol",
    ),
    "swapped": (
        swapped(),
        "a* and b* look swapped: a* is above b* in 2 of 2 readings of L* 40 or more",
    ),
}


@pytest.mark.parametrize("mistake", DOUBTS)
def test_a_column_that_looks_wrong_is_told_and_fitted_only_when_asked(check, mistake):
    rows, said = DOUBTS[mistake]
    found = check(text(rows))
    assert found.faults == ()
    assert [str(doubt) for doubt in found.doubts] == [said]
    with pytest.raises(LiftError, match="--as-read"):
        read_swatches(found.path)
    assert len(read_swatches(found.path, as_read=True)) == 4


def test_good_files_raise_no_doubt(plain, laboratory, check):
    """The shipped invented one, every kind of mixture and level, and red hair that was measured."""
    assert check_swatches("shared/invented_swatches.csv").doubts == ()
    for seed in range(20):
        made = synthetic_laboratory(design(12, kinds=KINDS, levels=(1.0, 10.0)), seed=seed)
        assert doubts(made.swatches) == ()
        told = [note.code for note in remarks(made.swatches, range(len(made.swatches)))]
        assert not {"remark.no_hair", "remark.level"} & {*told}


def test_odd_colours_and_levels_are_remarked(check):
    rows = [*ROWS[:2], [*ROWS[2][:-1], "80"], *ROWS[3:]]
    rows += [["dark", "cream", "20", "0", "instrument", "9", "20", "3", "4"]]
    told = [str(remark) for remark in check(text(rows)).remarks]
    assert any("column b has 80 in line 3 (and 0 more)" in each for each in told)
    assert any("swatch dark reads like level 2" in e and "was judged 9" in e for e in told)


# Files to fill in.


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_template_is_read_back_and_says_it_is_invented(tmp_path, ending):
    path = tmp_path / f"lab.{ending}"
    write_template(path)
    found = check_swatches(path)
    assert (found.faults, found.doubts) == ((), ())
    assert found.swatches.invented
    assert len(found.swatches) == 8
    with pytest.raises(LiftError, match="is there already"):
        write_template(path)


def test_the_workbook_offers_lists_and_says_what_columns_hold(tmp_path):
    library = pytest.importorskip("openpyxl")
    write_template(tmp_path / "lab.xlsx")
    book = library.load_workbook(tmp_path / "lab.xlsx")
    readings, about = book.worksheets
    heads = {cell.value: cell.column_letter for cell in readings[2]}
    assert {"minutes [min]", "volume [vol]", "L [CIELAB]", "swatch", "geometry"} <= {*heads}
    held = {
        str(each.sqref).split(":")[0]: each for each in readings.data_validations.dataValidation
    }
    assert held[f"{heads['mixture']}3"].formula1 == '"cream,base-break,powder"'
    assert held[f"{heads['geometry']}3"].formula1 == '"d/8 SCI,d/8 SCE,45/0"'
    minutes = held[f"{heads['minutes [min]']}3"]
    assert (minutes.type, minutes.formula1, minutes.formula2) == ("decimal", "0", "120")
    assert isinstance(readings[f"{heads['L [CIELAB]']}3"].value, float)
    explained = {row[0].value: row[1].value for row in about.iter_rows(min_row=2)}
    assert explained["minutes"] == str(BY_NAME["minutes"].meaning())
    assert len(explained) == len(heads)


def test_any_table_can_be_a_workbook(laboratory, tmp_path):
    write_swatches(laboratory.swatches, tmp_path / "lab.xlsx")
    back = check_swatches(tmp_path / "lab.xlsx")
    assert back.swatches.invented
    np.testing.assert_allclose(back.swatches.lab, laboratory.swatches.lab, atol=6e-4)


@pytest.mark.parametrize(("column", "value"), [("geometry", "D/8 sci"), ("uv", "Included")])
def test_how_it_was_measured_is_kept(check, column, value):
    rows = [[*row, column if row is ROWS[0] else value] for row in ROWS]
    kept = {"geometry": "d/8 SCI", "uv": "included"}[column]
    assert check(text(rows)).swatches.carried == {column: (kept,) * 4}
    (fault, *_) = check(text([*rows[:-1], [*ROWS[-1], "sideways"]])).faults
    assert (fault.line, fault.column, fault.value) == (5, column, "sideways")


def test_a_file_to_fill_in_has_an_ending_that_can_be(tmp_path):
    with pytest.raises(LiftError, match=r"does not end in \.csv, \.xlsx"):
        write_template(tmp_path / "lab.cxf")


def test_each_tress_is_a_strand_of_its_own(check):
    """Rows of one tress tell how it lies; tresses of one hair tell how strands differ."""
    rows = [[*ROWS[0], "tress"], *([*row, t] for row, t in zip(ROWS[1:], "1122", strict=True))]
    assert check(text(rows)).swatches.names == ("brown", "blond")
    rows[2][-1] = "2"
    table = check(text(rows)).swatches
    assert table.names == ("brown/1", "brown/2", "blond")
    assert table.level[:2].tolist() == [4.0, 4.0]
    assert table.carried["tress"] == ("1", "2", "2", "2")
