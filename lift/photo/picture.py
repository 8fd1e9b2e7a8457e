"""Opening a picture: its pixels and nothing else."""

from __future__ import annotations

import os
import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats, LiftError
from lift.files import read_bytes, shown_path
from lift.optics.colorimetry import encode_srgb
from lift.words import Note, note, say

MOST_BYTES = 100_000_000
MOST_PIXELS = 120_000_000
LEAST_SIDE = 100
"""Limits of a picture [byte, pixel, pixel]: chosen, so that no file fills the memory."""

HEIC = (".heic", ".heif", ".hif")
HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
"""First brands of such a file (ISO/IEC 23008-12), by which it is known whatever it is called."""

RAW = (".dng", ".nef", ".cr2", ".cr3", ".arw", ".raf", ".orf", ".rw2", ".pef", ".srw", ".x3f")
ENDINGS = (".jpg", ".jpeg", ".png", ".tif", ".tiff", *HEIC, *RAW)
"""Of files that are pictures."""

FORMATS = ("JPEG", "PNG", "TIFF")
"""What Pillow is let open; an MPO, a JPEG with more pictures behind the first, it opens as one."""

COLOURLESS = ("1", "L", "LA", "I", "F", "I;16", "I;16L", "I;16B")
"""Pillow's modes of one channel."""

COARSE = 12.0
"""Mean step of a JPEG's table for brightness, over its ten lowest frequencies, from which
compression is strong: a quality of about 60 of the standard's table. Assumed."""

ORIENTATION = 0x0112
TURNS = {2: 0, 3: 3, 4: 1, 5: 5, 6: 4, 7: 6, 8: 2}
"""Pillow's transpositions by EXIF's orientation (JEITA CP-3451)."""


@dataclass(frozen=True, eq=False)
class Picture:
    """A picture as it is measured.

    Parameters
    ----------
    pixels : numpy.ndarray
        Codes in R, G, B, 8 or 16 bits, shape (height, width, 3), upright.
    linear : bool
        Whether the codes are proportional to light, as a raw file's are.
    warnings : tuple of Note
        What its file tells against it.
    """

    pixels: NDArray[np.uint8 | np.uint16]
    linear: bool = False
    warnings: tuple[Note, ...] = ()

    def holds(self, points: Floats) -> bool:
        """Whether all points [pixel], shape (n, 2), lie in it."""
        height, width = self.pixels.shape[:2]
        return bool(((points >= 0.0) & (points <= (width, height))).all())

    @property
    def full(self) -> int:
        """Largest code."""
        return int(np.iinfo(self.pixels.dtype).max)

    def light(self, codes: NDArray[Any]) -> Floats:
        """Light of codes, 1 at full scale: by the curve of sRGB, or as they are; same shape."""
        share = np.arange(self.full + 1) / self.full
        return np.asarray((share if self.linear else decode_srgb(share))[codes])

    def on_screen(self, codes: NDArray[Any]) -> NDArray[np.uint8]:
        """Codes of 8 bits in which a screen shows these, same shape."""
        if self.full == 255 and not self.linear:
            return codes
        shown = encode_srgb(self.light(np.arange(self.full + 1)))
        return np.asarray(np.rint(255.0 * shown).astype(np.uint8)[codes])

    def around(self, points: Floats, share: float) -> tuple[slice, slice]:
        """Rows and columns about points [pixel], shape (n, 2), and a share of their spread."""
        room = share * np.ptp(points, axis=0).max()
        low = np.maximum(np.floor(points.min(axis=0) - room), 0).astype(int)
        end = self.pixels.shape[1::-1]
        high = np.minimum(np.ceil(points.max(axis=0) + room), end).astype(int)
        return slice(low[1], high[1]), slice(low[0], high[0])

    def step(self, light: Floats) -> Floats:
        """How much light one code is there, same shape."""
        if self.linear:
            return np.full_like(light, 1.0 / self.full)
        return np.asarray(np.maximum(2.2 * light ** (1.2 / 2.2), 0.08) / self.full)


def decode_srgb(encoded: ArrayLike) -> Floats:
    """Linear light of encoded sRGB, 0 to 1, any shape; source: IEC 61966-2-1."""
    share = np.asarray(encoded, dtype=np.float64)
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def as_picture(image: Any) -> Picture:
    """Picture of a file, of a file's bytes, or of codes in an array.

    Parameters
    ----------
    image : path, bytes, Picture or array_like
        JPEG, PNG or TIFF; with extras HEIC and raw files. An array has 8 or 16 bits and shape
        (height, width, 3).

    Raises
    ------
    LiftError
        When it cannot be opened, is too large or too small, or has no three channels.
    """
    if isinstance(image, Picture):
        return image
    if isinstance(image, str | os.PathLike):
        return _from_file(Path(image))
    if isinstance(image, bytes):
        return _checked(_from_bytes(image, say("photo.sent")))
    pixels = np.asarray(image)
    if pixels.dtype not in (np.uint8, np.uint16) or pixels.ndim != 3 or pixels.shape[2] != 3:
        raise LiftError("photo.no_array", shape=pixels.shape, kind=str(pixels.dtype))
    return _checked(Picture(pixels))


def _from_file(path: Path) -> Picture:
    content = read_bytes(path, MOST_BYTES, "file.photograph")
    name, ending = shown_path(path.name), path.suffix.lower()
    if ending in RAW:
        return _checked(_raw(content, name))
    return _checked(_from_bytes(content, name, heic=ending in HEIC))


def _from_bytes(content: bytes, name: str, *, heic: bool = False) -> Picture:
    heic = heic or (content[4:8] == b"ftyp" and content[8:12] in HEIC_BRANDS)
    if heic:
        needed("pillow_heif", "heic", name).register_heif_opener()
    return _opened(BytesIO(content), name, heic=heic)


def needed(module: str, extra: str, name: str) -> Any:
    """Module that an extra brings; `name` is what needs it.

    Raises
    ------
    LiftError
        When the extra is not installed.
    """
    from importlib import import_module

    try:
        return import_module(module)
    except ImportError:
        raise LiftError("photo.needs", name=name, extra=extra) from None


def _opened(file: BytesIO, name: str, *, heic: bool = False) -> Picture:
    """Decode with Pillow; of EXIF only the orientation is looked at."""
    image_module = needed("PIL.Image", "photo", name)
    for kind in FORMATS:
        # Pillow knows a format by name once its plug-in was loaded.
        needed(f"PIL.{kind.capitalize()}ImagePlugin", "photo", name)
    formats = (*FORMATS, "HEIF") if heic else FORMATS
    try:
        with warnings.catch_warnings():
            # Its own warning and limit of many pixels; ours is checked before anything is decoded.
            warnings.simplefilter("ignore")
            with image_module.open(file, formats=formats) as image:
                _check_pixels(*image.size)
                told = _compression(image)
                turn = TURNS.get(image.getexif().get(ORIENTATION, 1))
                if image.mode in COLOURLESS:
                    raise LiftError("photo.grey_only")
                image = image if image.mode == "RGB" else image.convert("RGB")
                if turn is not None:
                    image = image.transpose(turn)
                pixels = np.asarray(image)
    except LiftError:
        raise
    except Exception:  # a broken file breaks a decoder in any way
        raise LiftError("photo.broken", name=name) from None
    return Picture(pixels, warnings=told)


def _raw(content: bytes, name: str) -> Picture:
    """Develop a raw file: light as the sensor counted it, balanced as the camera was."""
    rawpy = needed("rawpy", "raw", name)
    try:
        with rawpy.imread(BytesIO(content)) as raw:
            _check_pixels(raw.sizes.width, raw.sizes.height)
            pixels = raw.postprocess(
                gamma=(1, 1),
                no_auto_bright=True,
                output_bps=16,
                use_camera_wb=True,
                output_color=rawpy.ColorSpace.raw,
            )
    except LiftError:
        raise
    except Exception:  # likewise
        raise LiftError("photo.broken", name=name) from None
    return Picture(np.asarray(pixels), linear=True)


def _check_pixels(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise LiftError("photo.many_pixels", pixels=width * height / 1e6, most=MOST_PIXELS / 1e6)


def _checked(picture: Picture) -> Picture:
    height, width = picture.pixels.shape[:2]
    _check_pixels(width, height)
    if min(width, height) < LEAST_SIDE:
        raise LiftError("photo.small", width=width, height=height, least=LEAST_SIDE)
    return picture


def _compression(image: Any) -> tuple[Note, ...]:
    """Warning of a JPEG whose table of quantisation (ISO/IEC 10918-1) is coarse."""
    tables = getattr(image, "quantization", None)
    if not tables:
        return ()
    step = float(np.mean(sorted(tables[min(tables)])[:10]))
    return (note("photo.warning.compressed", step=step),) if step > COARSE else ()
