"""Reference tables and their descriptors."""

import shutil

import numpy as np
import pytest

from lift.errors import LiftError
from lift.make.weights import DATA
from lift.reference import FOLDER, load, names
from lift.tables import read_table, write_table

EXPECTED = {
    *("bleached_hair_uptake", "cysteic_acid"),
    *("ciede2000_sharma34", "diffusion_chiang2016", "diffusion_in_hair", "hair_colour_apertures"),
    *("hair_colour_measured", "hair_dye_labels", "limits_eu1223", "melanin_absorption_rgb"),
    *("melanin_extinction", "munsell_hue_angles", "peroxide_bath_loss", "peroxide_strength"),
    *("stage_regions", "trade_practice"),
}
DESCRIPTOR = """
title = "t"
source = "s"
read = "r"
conditions = "c"
sha256 = "{sha256}"
[columns]
name = { meaning = "m", unit = "text" }
size = { meaning = "m", unit = "mm" }
"""
ROWS = [["name", "size"], ["first, of two", 0.1], ["second", ""]]


@pytest.fixture
def folder(tmp_path):
    write_table(tmp_path, "sizes", ROWS, DESCRIPTOR)
    return tmp_path


def test_all_are_there():
    assert set(names()) >= EXPECTED


@pytest.mark.parametrize("name", names())
def test_every_table_is_described(name):
    table = load(name)
    assert table.name == name
    for text in (table.title, table.source, table.read, table.conditions):
        assert text.strip()
    assert list(table.described) == list(table.columns)
    for column in table.described.values():
        assert column.meaning.strip()
        assert column.unit.strip()
    assert len({len(column) for column in table.columns.values()}) == 1


@pytest.mark.parametrize("name", names())
def test_every_file_has_its_partner(name):
    assert {p.stem for p in FOLDER.glob("*.toml")} == set(names())


def test_some_figures():
    # A slip in copying would move these.
    bath = load("peroxide_bath_loss")
    assert bath.numbers("h2o2_percent").tolist()[::6] == [6.08, 4.67]
    assert bath.words("edta").count("no") == 4
    assert bath.numbers("h2o2_percent")[7:].sum() == pytest.approx(13.77)
    assert load("hair_colour_apertures").numbers("L").sum() == pytest.approx(89.84)
    assert load("hair_colour_measured").numbers("L", "a", "b")[-1].tolist() == [21.55, 1.73, 1.67]
    assert load("diffusion_chiang2016").numbers("coefficient").sum() == pytest.approx(3.375)
    assert load("ciede2000_sharma34").numbers("dE00")[16] == 27.1492
    extinction = load("melanin_extinction")
    assert extinction.words("pigment").count("eumelanin") == 31
    assert load("limits_eu1223").numbers("value").tolist() == [12.0, 40.0]


def test_diffusion_of_peroxide_is_what_the_line_through_the_dyes_gives():
    """(D in hair / D in water)^1/2 falls on a straight line of the radius, as the page has it."""
    table = load("diffusion_in_hair")
    radius, hair, water = table.numbers(
        *("radius_angstrom", "d_hair_cm2_per_s", "d_water_cm2_per_s")
    ).T
    read = np.array(table.words("status")) == "read"
    line = np.polyfit(radius[read], np.sqrt(hair / water)[read], 1)
    assert -line[1] / line[0] == pytest.approx(7.9, abs=0.3)
    derived = np.polyval(line, radius[~read]) ** 2 * water[~read]
    np.testing.assert_allclose(derived, hair[~read], rtol=0.02)


def test_numbers_and_words(folder):
    table = load("sizes", folder)
    assert table.words("name") == ("first, of two", "second")
    assert table.numbers("size")[0] == 0.1
    assert np.isnan(table.numbers("size")[1])
    assert table.numbers("size", "size").shape == (2, 2)
    assert not table.numbers("size").flags.writeable
    with pytest.raises(TypeError):
        table.columns["size"] = None
    with pytest.raises(LiftError, match="'name' of table sizes holds words"):
        table.numbers("name")
    with pytest.raises(LiftError, match="'size' of table sizes holds numbers"):
        table.words("size")
    with pytest.raises(LiftError, match="no column 'sise'; did you mean size"):
        table.numbers("sise")


def test_changed_file_is_refused_naming_both_checksums(folder):
    before = load("sizes", folder).sha256
    path = folder / "sizes.csv"
    path.write_text(path.read_text().replace("0.1", "0.2"))
    with pytest.raises(LiftError, match=rf"has sha256 [0-9a-f]{{64}}, .* says {before}"):
        load("sizes", folder)


def test_shipped_data_are_checked_too(tmp_path):
    for ending in ("csv", "toml"):
        shutil.copy(DATA / f"colour_weights.{ending}", tmp_path)
    with (tmp_path / "colour_weights.csv").open("a") as file:
        file.write("\n")
    with pytest.raises(LiftError, match="sha256"):
        read_table(tmp_path, "colour_weights")


def test_unknown_table_suggests_the_nearest():
    with pytest.raises(LiftError, match=r"no table 'melanin_extintion'.*mean melanin_extinction"):
        load("melanin_extintion")
    with pytest.raises(LiftError, match="there are: bleached_hair_uptake, ciede2000"):
        load("zzzz")


def test_missing_folder(tmp_path):
    with pytest.raises(LiftError, match="which comes with lift; install lift anew"):
        load("melanin_extinction", tmp_path / "reference")
    assert names(tmp_path / "reference") == ()


def test_missing_descriptor(folder):
    (folder / "sizes.toml").unlink()
    with pytest.raises(LiftError, match=r"sizes\.csv has no descriptor"):
        load("sizes", folder)


@pytest.mark.parametrize("key", ["title", "source", "read", "conditions", "sha256"])
def test_incomplete_descriptor(folder, key):
    path = folder / "sizes.toml"
    path.write_text("\n".join(x for x in path.read_text().splitlines() if not x.startswith(key)))
    with pytest.raises(LiftError, match=rf"sizes\.toml does not give {key}"):
        load("sizes", folder)


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ([["name", "width"], ["first", 1]], "describes .*'size'.*has .*'width'"),
        ([["name", "size"], ["first", "wide"]], "column size: could not convert .*'wide'"),
        ([["name", "size"], ["first", 1], ["second"]], "line 3: not 2 cells"),
    ],
)
def test_file_that_is_not_as_described(tmp_path, rows, message):
    write_table(tmp_path, "sizes", rows, DESCRIPTOR)
    with pytest.raises(LiftError, match=message):
        load("sizes", tmp_path)
