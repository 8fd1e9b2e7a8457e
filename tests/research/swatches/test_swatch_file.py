"""Swatch files: every bad cell is named, nothing is dropped, photographs are declared."""

import numpy as np
import pytest

from lift import LiftError
from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab
from lift.optics.weights import WAVELENGTHS_NM
from lift.research.swatches.columns import BY_NAME, REQUIRED
from lift.research.swatches.swatch_file import check_swatches, read_swatches
from lift.research.swatches.table import PHOTOGRAPH_BIAS
from lift.research.swatches.written import write_swatches

HEAD = "swatch,mixture,volume,minutes,measured_with,level,L,a,b"
GOOD = f"""# a laboratory
{HEAD}
brown,cream,20,0,instrument,4,25,5,7
brown,cream,20,30,instrument,4,35,11,20

blond,powder,30,0,instrument,,50,9,22
blond,powder,30,20,instrument,,68,7,26
"""


@pytest.fixture
def file(tmp_path):
    def write(text, name="lab.csv", encoding="utf-8"):
        path = tmp_path / name
        path.write_text(text, encoding)
        return path

    return write


def faults(path):
    found = check_swatches(path)
    assert (found.swatches is None) == bool(found.faults)
    return [(f.line, f.column, f.value, str(f.reason)) for f in found.faults]


def test_good_file(file):
    table = read_swatches(file(GOOD))
    assert table.names == ("brown", "blond")
    assert table.level[0] == 4.0
    assert np.isnan(table.level[1])
    assert table.kind == ("cream", "cream", "powder", "powder")
    assert table.developer_parts.tolist() == [1.0, 1.0, 2.0, 2.0]
    assert table.lab[3].tolist() == [68.0, 7.0, 26.0]
    assert table.source == "lab.csv"
    assert not table.invented
    assert len(table.sha256) == 64


def test_byte_order_mark_and_spaces_are_harmless(file):
    spaced = GOOD.replace(",cream,", " , cream ,")
    assert read_swatches(file(spaced, encoding="utf-8-sig")).kind[0] == "cream"


RED = f"""{HEAD},pheomelanin_share
red,cream,20,0,instrument,6,32,18,22,0.42
red,cream,20,30,instrument,6,45,25,35,0.42
brown,cream,20,0,instrument,4,25,5,7,
brown,cream,20,30,instrument,4,35,11,20,
"""


def test_red_hair_says_its_share_and_keeps_it(file, tmp_path):
    table = read_swatches(file(RED))
    np.testing.assert_array_equal(table.pheomelanin_share, [0.42, np.nan])
    write_swatches(table, tmp_path / "again.csv")
    again = read_swatches(tmp_path / "again.csv")
    np.testing.assert_array_equal(again.pheomelanin_share, [0.42, np.nan])
    np.testing.assert_array_equal(again.only(1).pheomelanin_share, [np.nan])
    write_swatches(table.only(1), tmp_path / "brown.csv")
    assert "pheomelanin_share" not in (tmp_path / "brown.csv").read_text("utf-8")
    ((line, column, value, reason),) = faults(file(RED.replace("35,0.42", "35,0.33")))
    assert (line, column, value) == (3, "pheomelanin_share", "0.33")
    assert reason == "line 2 gives 0.42 for the same swatch"
    assert faults(file(RED.replace("0.42", "42")))[0][3] == "outside 0 to 1"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (",30,instrument", ",x,instrument", (4, "minutes", "x", "not a number")),
        (",30,instrument", ",130,instrument", (4, "minutes", "130", "outside 0 to 120 min")),
        (",30,instrument", ",nan,instrument", (4, "minutes", "nan", "outside 0 to 120 min")),
        (",30,instrument", ",,instrument", (4, "minutes", "", "the cell is empty")),
        ("35,11,20", "35,11,200", (4, "b", "200", "outside -100 to 120 CIELAB")),
        (
            "35,11,20",
            '"35,5",11.0,20',
            (4, "L", "35,5", "not a number; write decimals with a point"),
        ),
        (
            "brown,cream,20,30",
            "brown,creme,20,30",
            (4, "mixture", "creme", "not one of cream, base-break, powder"),
        ),
        (
            "30,instrument,4",
            "30,eye,4",
            (4, "measured_with", "eye", "not one of instrument, photograph, chart"),
        ),
        (
            "30,instrument,4",
            "30,instrument,5",
            (4, "level", "5", "line 3 gives 4 for the same swatch"),
        ),
        (
            "30,instrument,4",
            "30,instrument,",
            (4, "level", "", "line 3 gives 4 for the same swatch"),
        ),
        (
            "brown,cream,20,30,instrument,4,35,11,20",
            "brown,cream,20,0,instrument,4,25,5,7",
            (4, "", "brown", "the same as line 3; average readings and give repeats"),
        ),
        ("35,11,20", "35,11", (4, "", "8 cells", "the header has 9")),
    ],
)
def test_bad_cells_are_named(file, old, new, fault):
    assert faults(file(GOOD.replace(old, new, 1))) == [fault]


def test_every_fault_is_told_at_once(file):
    text = GOOD.replace("35,11,20", "x,y,z").replace("68,7,26", "68,7,nan")
    found = faults(file(text))
    assert [(line, column) for line, column, _, _ in found] == [
        (4, "L"),
        (4, "a"),
        (4, "b"),
        (7, "b"),
    ]
    with pytest.raises(LiftError, match=r"line 4, column L, 'x': not a number \(and 3 more: lift "):
        read_swatches(file(text))


def test_over_the_limit_is_a_fault(file):
    ((line, column, value, reason),) = faults(
        file(GOOD.replace("blond,powder,30,20", "blond,powder,90,20"))
    )
    assert (line, column, value) == (7, "volume", "90")
    assert "12 % H2O2" in reason


@pytest.mark.parametrize(
    ("head", "fault"),
    [
        (HEAD.replace("minutes", "minute"), ("minute", "unknown column; did you mean minutes?")),
        (HEAD.replace("level", "level (%)"), ("level (%)", "in %; give it in -")),
        (HEAD.replace("level", ""), ("", "column 6 has cells but no heading")),
        (HEAD.replace("level", "a"), ("a", "the column appears twice")),
        (HEAD.replace("L,a,b", "L,a,note"), ("b", "the column is missing (or give reflectance")),
        (HEAD.replace("level", "R400"), ("L", "give L, a, b or reflectance, not both")),
        (HEAD.replace("level", "start_L"), ("start_L", "a start colour needs")),
    ],
)
def test_bad_headers_are_named(file, head, fault):
    found = faults(file(GOOD.replace(HEAD, head)))
    assert found[0][0] == 2
    assert any(column == fault[0] and reason.startswith(fault[1]) for _, column, _, reason in found)


@pytest.mark.parametrize("name", REQUIRED)
def test_required_columns_are_missed(file, name):
    found = faults(file(GOOD.replace(HEAD, HEAD.replace(name, "note"))))
    assert (2, name, "", "the column is missing") in found


@pytest.mark.parametrize("text", ["", "# nothing\n", HEAD])
def test_empty_files(file, text):
    assert faults(file(text))[-1][3] == "there are no rows"


def test_start_colour_is_a_reading_at_no_time(file):
    text = (
        "swatch,mixture,volume,minutes,measured_with,start_L,start_a,start_b,L,a,b\n"
        "brown,cream,20,10,instrument,25,5,7,30,8,13\n"
        "brown,cream,20,30,instrument,25,5,7,35,11,20\n"
    )
    table = read_swatches(file(text))
    assert table.minutes.tolist() == [0.0, 10.0, 30.0]
    assert table.lab[0].tolist() == [25.0, 5.0, 7.0]
    other = faults(file(text.replace("25,5,7,35", "26,5,7,35")))
    assert other == [(3, "start_L", "26", "line 2 gives 25 for the same swatch")]
    half = faults(file(text.replace("25,5,7,35", "25,,7,35")))
    assert half == [(3, "start_L", "", "a start colour needs all three values")]


def test_all_conditions_are_read(file):
    text = (
        "swatch,mixture,volume,developer_parts,minutes,measured_with,fibre,temperature_c,ph,repeats,"
        "illuminant,observer,note,L,a,b\n"
        "one,powder,30,1.5,20,instrument,fine,35,10.2,5,D50,2,by the window,60,8,25\n"
        "two,cream,20,,20,instrument,84,,,,D50,2,,40,9,20\n"
    )
    table = read_swatches(file(text))
    assert table.fibre_um.tolist() == [50.0, 84.0]
    assert table.temperature_c.tolist() == [35.0, 30.0]
    assert table.ph[0] == 10.2
    assert np.isnan(table.ph[1])
    assert table.repeats.tolist() == [5.0, 1.0]
    assert table.developer_parts.tolist() == [1.5, 1.0]
    assert (table.illuminant, table.observer) == ("D50", 2)
    mixed = faults(
        file(
            text.replace(
                "two,cream,20,,20,instrument,84,,,,D50", "two,cream,20,,20,instrument,84,,,,D65"
            )
        )
    )
    assert mixed == [(3, "illuminant", "D65", "line 2 has D50; one for the whole file")]
    for cell, column in (("D51", "illuminant"), ("thick", "fibre")):
        swap = {"illuminant": ("D50,2,by", f"{cell},2,by"), "fibre": ("fine", cell)}[column]
        assert faults(file(text.replace(*swap)))[0][:3] == (2, column, cell)
    assert faults(file(text.replace("D50,2,by", "D50,4,by")))[0][3] == "not 2 or 10 degrees"


def spectral(wavelengths, rows):
    head = "swatch,mixture,volume,minutes,measured_with," + ",".join(f"R{w:g}" for w in wavelengths)
    lines = [
        f"s,cream,20,{10 * i},instrument," + ",".join(f"{v:.6f}" for v in row)
        for i, row in enumerate(rows)
    ]
    return "\n".join([head, *lines]) + "\n"


def hair(wavelengths):
    """Smooth reflectances like those of hair, invented."""
    x = (np.asarray(wavelengths) - 550.0) / 150.0
    return np.stack([0.05 + 0.03 * np.exp(1.2 * x), 0.2 / (1.0 + np.exp(-2.5 * x))])


@pytest.mark.parametrize("step", [5.0, 10.0, 20.0])
def test_reflectance_becomes_the_colour_of_the_full_spectrum(file, step):
    wavelengths = np.arange(380.0, 781.0, step)
    table = read_swatches(file(spectral(wavelengths, hair(wavelengths))))
    full = reflectance_to_lab(hair(WAVELENGTHS_NM))
    assert delta_e_2000(table.lab, full).max() < 0.02


@pytest.mark.parametrize(
    ("wavelengths", "reason"),
    [
        (np.arange(420.0, 701.0, 10.0), "reflectance must cover 400 to 700 nm"),
        (np.arange(400.0, 701.0, 50.0), "reflectance needs an even step of at most 20 nm"),
        (np.array([400.0, 410.0, 425.0, 700.0]), "reflectance needs an even step"),
    ],
)
def test_thin_spectra_are_refused(file, wavelengths, reason):
    found = faults(file(spectral(wavelengths, hair(wavelengths))))
    assert found[0][0] == 1
    assert found[0][3].startswith(reason)


def test_per_cent_are_refused(file):
    wavelengths = np.arange(400.0, 701.0, 10.0)
    found = faults(file(spectral(wavelengths, 100.0 * hair(wavelengths))))
    assert found[0][1] == "R400"
    assert "a fraction, not per cent" in found[0][3]


def test_declared_photographs_carry_the_bias(file):
    photographed = (
        GOOD.replace("instrument", "photograph")
        .replace("25,5,7", "58.4,8.4,15")
        .replace("35,11,20", "68.4,14.4,28")
    )
    table = read_swatches(file(photographed))
    plain = read_swatches(file(GOOD))
    np.testing.assert_allclose(table.lab[:2], plain.lab[:2])
    assert PHOTOGRAPH_BIAS == (33.4, 3.4, 8.0)
    assert np.all(table.sd > 5.0 * plain.sd)
    assert any(
        "photographed colours: 33.4 L*" in str(r)
        for r in check_swatches(file(photographed)).remarks
    )


def test_photographs_passed_off_as_instrument_colours_are_refused(file):
    lying = GOOD.replace("25,5,7", "58.4,8.4,15").replace("35,11,20", "68.4,14.4,28")
    ((line, column, value, reason),) = faults(file(lying))
    assert (line, column, value) == (3, "measured_with", "instrument")
    assert "declare them photograph" in reason


def test_odd_but_allowed_is_remarked(file):
    falling = GOOD.replace("35,11,20", "15,3,4") + "red,cream,20,0,instrument,,30,15,15\n"
    remarks = list(map(str, check_swatches(file(falling)).remarks))
    assert any("swatch brown: L* falls by 10.0 from 0 to 30 min (line 4)" in r for r in remarks)
    assert any("swatch red has one reading" in r for r in remarks)


@pytest.mark.parametrize("ending", ["csv"])
def test_round_trip(laboratory, tmp_path, ending):
    path = tmp_path / f"lab.{ending}"
    table = laboratory.swatches
    write_swatches(table, path)
    found = check_swatches(path)
    back = found.swatches
    assert back.invented
    assert "invented" in str(found.remarks[0])
    np.testing.assert_allclose(back.lab, table.lab, atol=6e-4)
    for name in (
        "level",
        "swatch",
        "volume",
        "minutes",
        "fibre_um",
        "temperature_c",
        "ph",
        "repeats",
    ):
        np.testing.assert_array_equal(getattr(back, name), getattr(table, name))
    assert (back.names, back.kind) == (table.names, table.kind)
    again = tmp_path / f"again.{ending}"
    write_swatches(back, again)
    assert check_swatches(again).swatches.invented


def test_photographs_round_trip(laboratory, tmp_path):
    table = laboratory.swatches
    dark = table.rows(table.lab[:, 0] < 60.0)  # a photograph of lighter hair is burnt out
    table = dark.replace(photograph=True)
    write_swatches(table, tmp_path / "photos.csv")
    np.testing.assert_allclose(read_swatches(tmp_path / "photos.csv").lab, table.lab, atol=6e-4)


def test_first_line_says_invented(laboratory, tmp_path):
    write_swatches(laboratory.swatches, tmp_path / "lab.csv")
    assert (tmp_path / "lab.csv").read_text("utf-8").startswith("# INVENTED")
    write_swatches(laboratory.swatches.replace(source=""), tmp_path / "plain.csv")
    assert (tmp_path / "plain.csv").read_text("utf-8").startswith("# INVENTED")


def test_every_column_is_documented(laboratory, tmp_path):
    write_swatches(laboratory.swatches, tmp_path / "lab.csv")
    lines = (tmp_path / "lab.csv").read_text("utf-8").splitlines()
    (head,) = (line for line in lines if line.startswith("swatch,"))
    for name in head.split(","):
        assert f"# {name}: {BY_NAME[name].meaning()} [{BY_NAME[name].unit}]" in lines


def test_unreadable_files(file, tmp_path, laboratory):
    with pytest.raises(LiftError, match="cannot read swatches"):
        read_swatches(tmp_path / "none.csv")
    (tmp_path / "odd.csv").write_bytes(b"a\0b\0\0\xff")
    with pytest.raises(LiftError, match="it is not text"):
        read_swatches(tmp_path / "odd.csv")
    with pytest.raises(LiftError, match="conditions go with a CxF file"):
        read_swatches(file(GOOD), file(GOOD, "other.csv"))
    with pytest.raises(LiftError, match="cannot write swatches"):
        write_swatches(laboratory.swatches, tmp_path / "none" / "lab.csv")


def test_failed_write_leaves_nothing(laboratory, tmp_path):
    (tmp_path / "lab.csv").mkdir()
    with pytest.raises(LiftError, match="cannot write"):
        write_swatches(laboratory.swatches, tmp_path / "lab.csv")
    assert [p.name for p in tmp_path.iterdir()] == ["lab.csv"]
