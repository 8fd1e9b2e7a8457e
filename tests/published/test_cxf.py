"""CxF (ISO 17972) files written and read through colour-cxf, the colour developers' library."""

import numpy as np
import pytest

from lift import LiftError
from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab
from lift.optics.weights import WAVELENGTHS_NM
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.swatches.swatch_file import check_swatches, read_swatches
from lift.research.swatches.written import write_swatches

colour_cxf = pytest.importorskip("colour_cxf")
cxf3 = colour_cxf.cxf3
WAVELENGTHS = np.arange(400, 701, 10)
CONDITIONS = {
    "swatch": "brown",
    "mixture": "cream",
    "volume": "20",
    "minutes": "0",
    "level": "4",
}


def reflectance(wavelengths):
    """Smooth, like hair; invented."""
    return 0.05 + 0.03 * np.exp((np.asarray(wavelengths, dtype=float) - 550.0) / 120.0)


def spectrum(start=400, given=True):
    return cxf3.ReflectanceSpectrum(
        value=[float(v) for v in reflectance(WAVELENGTHS)],
        start_wl=start if given else None,
        color_specification="light",
    )


def lab(values=(25.0, 5.0, 7.0)):
    return cxf3.ColorCielab(
        **dict(zip(("l", "a", "b"), values, strict=True)), color_specification="light"
    )


def file_of(objects, path, illuminant="D65", observer="10_Degree", description="invented"):
    """Write a CxF file with the library alone, as an instrument would."""
    specification = cxf3.ColorSpecification(
        id="light",
        tristimulus_spec=cxf3.TristimulusSpec(
            illuminant_or_custom_illuminant=cxf3.Illuminant(value=cxf3.EilluminantType(illuminant)),
            observer=cxf3.Observer(value=cxf3.EobserverType(observer)),
            method=cxf3.Method(value=cxf3.EastmTableType("E308_Table5")),
        ),
        measurement_spec=cxf3.MeasurementSpec(
            measurement_type=cxf3.MeasurementType(value=cxf3.EspectrumType("Spectrum_Reflectance")),
            geometry_choice=cxf3.GeometryChoice(choice="sphere"),
            wavelength_range=cxf3.WavelengthRange(start_wl=400, increment=10),
        ),
    )
    document = cxf3.CxF(
        file_information=cxf3.FileInformation(description=description),
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(object_value=objects),
            color_specification_collection=cxf3.ColorSpecificationCollection(
                color_specification=[specification]
            ),
        ),
    )
    path.write_bytes(colour_cxf.write_cxf(document))
    return path


def thing(name, colours, tags=None):
    tags = CONDITIONS if tags is None else tags
    return cxf3.Object(
        name=name,
        id=name,
        object_type="Standard",
        color_values=cxf3.ColorValues(choice=colours),
        tag_collection=[
            cxf3.TagCollection(
                name="swatch", tag=[cxf3.Tag(name=k, value=v) for k, v in tags.items()]
            )
        ],
    )


def test_laboratory_round_trip(tmp_path):
    table = synthetic_laboratory(design(5), seed=2).swatches
    path = tmp_path / "lab.cxf"
    write_swatches(table, path)
    # The library itself finds every object.
    document = colour_cxf.read_cxf_from_file(path)
    assert len(document.resources.object_collection.object_value) == len(table)
    assert "INVENTED" in document.file_information.description
    back = read_swatches(path)
    assert back.invented
    np.testing.assert_allclose(back.lab, table.lab, atol=6e-4)
    for name in ("level", "swatch", "volume", "minutes", "developer_parts", "fibre_um", "repeats"):
        np.testing.assert_array_equal(getattr(back, name), getattr(table, name))
    assert (back.names, back.kind) == (table.names, table.kind)


@pytest.mark.parametrize("given", [True, False], ids=["on the spectrum", "in the specification"])
def test_spectra(tmp_path, given):
    table = read_swatches(
        file_of([thing("m1", [spectrum(given=given)])], tmp_path / "m.cxf"), as_read=True
    )
    expected = reflectance_to_lab(reflectance(np.clip(WAVELENGTHS_NM, 400, 700)))
    assert delta_e_2000(table.lab[0], expected) < 0.01


def test_spectrum_goes_before_cielab(tmp_path):
    objects = [thing("m1", [lab((1.0, 2.0, 3.0)), spectrum()])]
    table = read_swatches(file_of(objects, tmp_path / "m.cxf"), as_read=True)
    assert table.lab[0, 0] > 20.0


def test_light_of_cielab_is_kept(tmp_path):
    path = file_of([thing("m1", [lab()])], tmp_path / "m.cxf", "D50", "2_Degree")
    table = read_swatches(path, as_read=True)
    assert (table.illuminant, table.observer) == ("D50", 2)
    assert table.lab[0].tolist() == [25.0, 5.0, 7.0]


def test_conditions_may_come_from_a_table(tmp_path):
    path = file_of(
        [thing("m1", [lab()], {}), thing("m2", [lab((35, 11, 20))], {})], tmp_path / "m.cxf"
    )
    conditions = tmp_path / "conditions.csv"
    conditions.write_text(
        "object,swatch,mixture,volume,minutes\nm2,brown,cream,20,30\nm1,brown,cream,20,0\n", "utf-8"
    )
    table = read_swatches(path, conditions)
    assert table.minutes.tolist() == [0.0, 30.0]
    assert table.lab[1].tolist() == [35.0, 11.0, 20.0]


def test_nothing_is_dropped_silently(tmp_path):
    objects = [thing("m1", [lab()], {}), thing("m2", [], {}), thing("m3", [lab()], {})]
    path = file_of(objects, tmp_path / "m.cxf")
    conditions = tmp_path / "conditions.csv"
    conditions.write_text(
        "object,swatch,mixture,volume,minutes\nm1,a,cream,20,x\nm2,a,cream,20,9\nm9,a,cream,20,9\n",
        "utf-8",
    )
    found = check_swatches(path, conditions)
    told = {(f.line, f.column, str(f.reason).split(";")[0]) for f in found.faults}
    assert found.unit == "object"
    assert (0, "object", "the CxF file has no object of this name") in told
    assert (2, "object", "no reflectance and no CIELAB") in told
    assert (3, "object", "no row of the conditions names this object") in told
    alone = check_swatches(path)
    assert any("has no tag 'swatch'" in str(f.reason) for f in alone.faults)


def test_bad_values_are_named_by_object(tmp_path):
    objects = [thing("m1", [lab()]), thing("m2", [lab()], {**CONDITIONS, "minutes": "500"})]
    (fault,) = check_swatches(file_of(objects, tmp_path / "m.cxf")).faults
    assert (fault.line, fault.column, fault.value) == (2, "minutes", "500")


def test_conditions_named_twice_or_without_objects(tmp_path):
    path = file_of([thing("m1", [lab()], {})], tmp_path / "m.cxf")
    conditions = tmp_path / "conditions.csv"
    conditions.write_text(
        "object,swatch,mixture,volume,minutes\nm1,a,cream,20,0\nm1,a,cream,20,5\n", "utf-8"
    )
    assert any(
        "named twice (line 3" in str(f.reason) for f in check_swatches(path, conditions).faults
    )
    conditions.write_text("swatch,mixture,volume,minutes\na,cream,20,0\n", "utf-8")
    assert any("need a column" in str(f.reason) for f in check_swatches(path, conditions).faults)


@pytest.mark.parametrize("content", [b"", b"not xml", b"<other/>"])
def test_other_files_are_refused(tmp_path, content):
    path = tmp_path / "m.cxf"
    path.write_bytes(content)
    with pytest.raises(LiftError, match="not a CxF file"):
        read_swatches(path)


def test_illuminant_without_a_name_in_cxf(tmp_path):
    table = design(1).replace(illuminant="LED-B3")
    with pytest.raises(LiftError, match="no name for illuminant 'LED-B3'"):
        write_swatches(table, tmp_path / "m.cxf")


def test_missing_library_is_told(tmp_path, monkeypatch):
    import sys

    path = file_of([thing("m1", [lab()])], tmp_path / "m.cxf")
    monkeypatch.setitem(sys.modules, "colour_cxf", None)
    with pytest.raises(LiftError, match=r"lift\[research\]"):
        read_swatches(path)
