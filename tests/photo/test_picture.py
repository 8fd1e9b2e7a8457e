"""Opening pictures: what comes of each format, what is not kept, what is refused."""

import io

import numpy as np
import pytest
from PIL import Image, TiffImagePlugin

from lift.errors import LiftError
from lift.make.photograph import Scene, photograph, some_hair
from lift.optics.colorimetry import delta_e_2000, reflectance_to_lab
from lift.photo import picture
from lift.photo.measure import measure
from lift.photo.picture import as_picture, decode_srgb


def image(width=160, height=120, seed=0):
    return np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)


def saved(pixels, kind, **more):
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, kind, **more)
    return file.getvalue()


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_lossless_formats_come_back_as_they_were(kind, tmp_path):
    path = tmp_path / f"photo.{kind.lower()}"
    path.write_bytes(saved(image(), kind))
    for given in (path, str(path), path.read_bytes(), image()):
        np.testing.assert_array_equal(as_picture(given).pixels, image())


def test_a_jpeg_is_opened_upright():
    """By EXIF's orientation 6: turned a quarter clockwise; of the rest nothing is kept."""
    flat = np.zeros((120, 160, 3), dtype=np.uint8)
    flat[:60] = 200
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = 6, "a maker"
    found = as_picture(saved(flat, "JPEG", exif=exif, quality=95))
    assert found.pixels.shape == (160, 120, 3)
    assert found.pixels[80, 100].mean() == pytest.approx(200, abs=2)
    assert found.pixels[80, 20].mean() == pytest.approx(0, abs=2)
    assert set(vars(found)) == {"pixels", "linear", "warnings"}


@pytest.mark.parametrize("turn", range(1, 9))
def test_every_orientation(turn):
    """As EXIF has them (JEITA CP-3451): which of the stored corners is at the upper left."""
    corner = {
        1: (0, 0),
        2: (0, 1),
        3: (1, 1),
        4: (1, 0),
        5: (0, 0),
        6: (1, 0),
        7: (1, 1),
        8: (0, 1),
    }
    stored = np.zeros((120, 160, 3), dtype=np.uint8)
    row, column = corner[turn]
    stored[row * 60 : row * 60 + 60, column * 80 : column * 80 + 80] = 255
    exif = Image.Exif()
    exif[0x0112] = turn
    found = as_picture(saved(stored, "PNG", exif=exif)).pixels
    assert found.shape[:2] == ((120, 160) if turn < 5 else (160, 120))
    assert found[5, 5].tolist() == [255, 255, 255]
    assert found[-5, -5].tolist() == [0, 0, 0]


def test_a_jpeg_with_more_pictures_behind_it_opens_as_the_first():
    file = io.BytesIO()
    first, second = (Image.fromarray(np.full((120, 160, 3), v, np.uint8)) for v in (90, 200))
    first.save(file, "MPO", save_all=True, append_images=[second], quality=95)
    assert np.abs(as_picture(file.getvalue()).pixels.astype(int) - 90).max() <= 2


def test_light_of_codes():
    eight = as_picture(image())
    # IEC 61966-2-1: code 188 is a light of 0.503.
    assert eight.light(np.array([0, 188, 255])) == pytest.approx([0.0, 0.5029, 1.0], abs=1e-4)
    sixteen = as_picture(image().astype(np.uint16) * 257)
    np.testing.assert_allclose(
        sixteen.light(sixteen.pixels[:2]), eight.light(eight.pixels[:2]), atol=1e-12
    )
    assert decode_srgb(0.04045) == pytest.approx(0.0031308, abs=1e-6)


def test_transparent_pictures_and_palettes_become_three_channels():
    for mode in ("RGBA", "P"):
        file = io.BytesIO()
        Image.new(mode, (160, 120), 77 if mode == "P" else (77, 77, 77, 255)).save(file, "PNG")
        assert as_picture(file.getvalue()).pixels.shape == (120, 160, 3)


def test_strong_compression_is_told():
    assert as_picture(saved(image(), "JPEG", quality=92)).warnings == ()
    (told,) = as_picture(saved(image(), "JPEG", quality=30)).warnings
    assert told.code == "photo.warning.compressed"


def limits(monkeypatch, **few):
    for name, value in few.items():
        monkeypatch.setattr(picture, name, value)


@pytest.mark.parametrize(
    ("given", "code"),
    [
        (image().astype(float), "photo.no_array"),
        (image()[..., 0], "photo.no_array"),
        (image(90, 150), "photo.small"),
        (b"no picture at all", "photo.broken"),
        (saved(image(), "JPEG")[:900], "photo.broken"),
        (saved(image(), "GIF"), "photo.broken"),
        (saved(image()[..., 0], "PNG"), "photo.grey_only"),
        (saved(image()[..., 0].astype(np.uint16), "PNG"), "photo.grey_only"),
        ("missing.jpg", "file.cannot_read"),
        ("folder.jpg", "file.cannot_read"),
        ("text.dng", None),
    ],
)
def test_what_is_no_picture_is_one_line(given, code, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "text.dng").write_text("no raw file")
    with pytest.raises(LiftError) as refused:
        as_picture(given)
    # A raw file needs an extra, which may be there or not.
    assert refused.value.note.code in ({code} if code else {"photo.needs", "photo.broken"})
    assert "\n" not in str(refused.value)


def test_limits_hold_before_anything_is_decoded(monkeypatch, tmp_path):
    content = saved(image(), "PNG")
    limits(monkeypatch, MOST_PIXELS=160 * 120 - 1)
    with pytest.raises(LiftError, match="million pixels"):
        as_picture(content)
    limits(monkeypatch, MOST_PIXELS=160 * 120, MOST_BYTES=100)
    path = tmp_path / "photo.png"
    path.write_bytes(content)
    with pytest.raises(LiftError) as refused:
        as_picture(path)
    assert refused.value.note.code == "file.too_large"


def test_heic_by_its_extra(tmp_path):
    heif = pytest.importorskip("pillow_heif")
    heif.register_heif_opener()
    path = tmp_path / "photo.heic"
    flat = np.full((120, 160, 3), 90, dtype=np.uint8)
    Image.fromarray(flat).save(path, "HEIF", quality=95)
    assert np.abs(as_picture(path).pixels.astype(int) - 90).max() <= 3


def as_dng(mosaic):
    """Codes of 16 bits behind a red-green-blue mosaic as a raw file (DNG 1.4), uncompressed."""
    one, other = TiffImagePlugin.IFDRational(1), TiffImagePlugin.IFDRational(0)
    tags = {
        254: (4, 0),
        262: (3, 32803),
        271: (2, "made"),
        272: (2, "made"),
        33421: (3, (2, 2)),
        33422: (1, bytes([0, 1, 1, 2])),
        50706: (1, bytes([1, 4, 0, 0])),
        50708: (2, "made"),
        50717: (4, 65535),
        50721: (10, (one, other, other, other, one, other, other, other, one)),
        50728: (5, (one, one, one)),
        50778: (3, 21),
    }
    info = TiffImagePlugin.ImageFileDirectory_v2()
    for tag, (kind, value) in tags.items():
        info.tagtype[tag] = kind
        info[tag] = value
    file = io.BytesIO()
    Image.fromarray(mosaic).save(file, "TIFF", tiffinfo=info)
    return file.getvalue()


def test_a_raw_file_by_its_extra(tmp_path):
    """Light as the sensor counted it: what is measured in it is what was photographed."""
    pytest.importorskip("rawpy")
    taken = photograph(Scene(some_hair(1)[0], size=(720, 440)))
    light = np.rint(60000 * decode_srgb(taken.pixels / 255.0)).astype(np.uint16)
    mosaic = light[..., 1].copy()
    mosaic[0::2, 0::2], mosaic[1::2, 1::2] = light[0::2, 0::2, 0], light[1::2, 1::2, 2]
    path = tmp_path / "photo.dng"
    path.write_bytes(as_dng(mosaic))
    assert as_picture(path).linear
    found = measure(path, taken.chart, taken.hair[0])
    assert delta_e_2000(found.lab, reflectance_to_lab(some_hair(1)[0])) < 2.0


def test_an_extra_that_is_missing_is_named(tmp_path, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "pillow_heif", None)
    path = tmp_path / "photo.heic"
    path.write_bytes(b"")
    with pytest.raises(LiftError, match=r"pip install 'lift\[heic\]'"):
        as_picture(path)
