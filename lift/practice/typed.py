"""Values as typed: every entrance of the tool reads them here, so that all refuse alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lift.errors import LiftError, check_number

if TYPE_CHECKING:
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

NUMBERS = {
    "level": ("natural level", 1.0, 10.0, ""),
    "grey": ("grey", 0.0, 100.0, "%"),
    "lightened_to": ("earlier lightening, level", 1.0, 12.0, ""),
    "volume": ("developer volume", 0.0, 100.0, "vol"),
    "parts": ("developer parts", 0.1, 10.0, ""),
    "ph": ("ph", 2.0, 13.0, ""),
    "temperature": ("temperature", 10.0, 50.0, "C"),
    "minutes": ("processing time", 0.0, 120.0, "min"),
}
"""What the typed numbers are called, their range and their unit."""


def read_number(field: str, text: str) -> float:
    """Read one of `NUMBERS` as typed.

    Raises
    ------
    LiftError
        When it is not a number in its range.
    """
    name, low, high, unit = NUMBERS[field]
    return check_number(name, text, low, high, unit)


def optional(field: str, text: str | None) -> float | None:
    """Read one of `NUMBERS` as typed; None stays None."""
    return None if text is None else read_number(field, text)


def read_hair(
    level: str, fibre: str, damp: bool, grey: str, red: bool, lightened_to: str | None
) -> Hair:
    """Build the hair from the words and numbers typed."""
    from lift.model.hair import RED_SHARE, Hair

    return Hair(
        level=read_number("level", level),
        fibre_um=read_fibre(fibre),
        damp=damp,
        grey_percent=read_number("grey", grey),
        pheomelanin_share=RED_SHARE if red else None,
        lightened_to=optional("lightened_to", lightened_to),
    )


def read_fibre(text: str) -> float:
    """Read ``fine``, ``medium``, ``coarse`` or a diameter; micrometres [um]."""
    from lift.model.hair import FIBRE_RANGE, FIBRES_UM

    if text in FIBRES_UM:
        return FIBRES_UM[text]
    try:
        width = float(text)
    except ValueError:
        raise LiftError(
            f"fibre {text!r} is not {', '.join(FIBRES_UM)} nor a diameter of "
            f"{FIBRE_RANGE[0]:g} to {FIBRE_RANGE[1]:g} um"
        ) from None
    return check_number("fibre diameter", width, *FIBRE_RANGE, "um")


def read_mixture(
    volume: str,
    mixture: str,
    parts: str | None,
    ph: str | None,
    temperature: str,
    carry: str | None,
) -> Mixture:
    """Build the mixture from the words and numbers typed."""
    from lift.model.mixture import Mixture

    return Mixture(
        kind=mixture,
        volume=read_volume(volume),
        developer_parts=optional("parts", parts),
        ph=optional("ph", ph),
        temperature_c=read_number("temperature", temperature),
        tone=None if carry is None else read_doses(carry),
    )


def read_volume(text: str) -> Any:
    """Read ``10``, or several developers by parts, ``10:2,20:1``."""
    if ":" not in text:
        return read_number("volume", text)
    pairs = []
    for pair in text.split(","):
        volume, _, parts = pair.partition(":")
        pairs.append(
            (
                read_number("volume", volume),
                check_number("parts of developer", parts, 0.01, 100.0),
            )
        )
    return tuple(pairs)


def read_doses(text: str) -> dict[str, float]:
    """Read ``violet=2,blue=1``; ``none`` means no tone."""
    from lift.optics.dyes import MAX_DOSE

    doses: dict[str, float] = {}
    if text.strip() == "none":
        return doses
    for part in text.split(","):
        dye, equals, dose = part.partition("=")
        if not equals:
            raise LiftError(f"tone {part.strip()!r} is not DYE=DOSE, as in violet=2")
        doses[dye.strip()] = check_number(f"dose of {dye.strip()}", dose, 0.0, MAX_DOSE)
    return doses


def read_lab(text: str) -> tuple[float, float, float]:
    """Read ``L,a,b``."""
    parts = text.split(",")
    if len(parts) != 3:
        raise LiftError(f"colour {text!r} is not L*,a*,b* as in 55,9,25")
    return (
        check_number("L*", parts[0], 0.0, 100.0),
        check_number("a*", parts[1], -100.0, 100.0),
        check_number("b*", parts[2], -100.0, 120.0),
    )
