"""Options shared by commands, and what they build."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from lift.errors import LiftError, check_number

if TYPE_CHECKING:
    from lift.model.curves import CurveSet
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture

F = TypeVar("F", bound=Callable[..., Any])


def stack(*decorators: Callable[[F], F]) -> Callable[[F], F]:
    """Put several options on a command, listed in the order given."""

    def apply(function: F) -> F:
        for decorator in reversed(decorators):
            function = decorator(function)
        return function

    return apply


hair_options = stack(
    click.option("--level", metavar="N", required=True, help="Natural level, 1 to 10."),
    click.option(
        "--fibre",
        metavar="WORD|UM",
        default="medium",
        show_default=True,
        help="fine, medium, coarse, or diameter in micrometres (30 to 130).",
    ),
    click.option("--damp", is_flag=True, help="Damp hair."),
    click.option("--grey", metavar="PERCENT", default="0", help="Unpigmented fibres, 0 to 100 %."),
    click.option("--red", is_flag=True, help="Red hair: a third of its melanin is pheomelanin."),
    click.option("--lightened-to", metavar="N", help="Level it was lightened to before today."),
)

mixture_options = stack(
    click.option(
        "--volume", metavar="VOL", required=True, help="Developer, 0 to 100 vol; or 10:2,20:1."
    ),
    click.option(
        "--mixture",
        metavar="KIND",
        default="cream",
        show_default=True,
        help="cream, base-break or powder.",
    ),
    click.option("--parts", metavar="X", help="Parts of developer to one of product, 0.1 to 10."),
    click.option("--ph", metavar="PH", help="pH on the hair, 2 to 13."),
    click.option("--temperature", metavar="C", default="30", help="On the hair, 10 to 50 C."),
    click.option("--carry", metavar="DYE=DOSE,...", help="Tone in the mixture: violet=2,blue=1."),
)

curves_option = click.option("--curves", "curves_file", metavar="FILE", help="Curve set (TOML).")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
plot_option = click.option(
    "--plot", "plot_file", metavar="FILE", help="Draw to a .png, .svg or .pdf file."
)


def number(name: str, text: str | None, low: float, high: float, unit: str = "") -> float | None:
    """Read a number as typed; None stays None."""
    return None if text is None else check_number(name, text, low, high, unit)


def read_curves(path: str | None) -> CurveSet:
    """Load a curve-set file, or the shipped set."""
    from lift.model.curves import default_curves, load_curves

    return default_curves() if path is None else load_curves(path)


def read_hair(
    level: str, fibre: str, damp: bool, grey: str, red: bool, lightened_to: str | None
) -> Hair:
    """Build the hair from the options."""
    from lift.model.hair import FIBRE_RANGE, FIBRES_UM, RED_SHARE, Hair

    width: Any = fibre
    if fibre not in FIBRES_UM:
        try:
            width = float(fibre)
        except ValueError:
            raise LiftError(
                f"fibre {fibre!r} is not {', '.join(FIBRES_UM)} nor a diameter of "
                f"{FIBRE_RANGE[0]:g} to {FIBRE_RANGE[1]:g} um"
            ) from None
    return Hair(
        level=check_number("natural level", level, 1.0, 10.0),
        fibre_um=width,
        damp=damp,
        grey_percent=check_number("grey", grey, 0.0, 100.0, "%"),
        pheomelanin_share=RED_SHARE if red else None,
        lightened_to=number("earlier lightening, level", lightened_to, 1.0, 12.0),
    )


def read_mixture(
    volume: str,
    mixture: str,
    parts: str | None,
    ph: str | None,
    temperature: str,
    carry: str | None,
) -> Mixture:
    """Build the mixture from the options."""
    from lift.model.mixture import Mixture

    return Mixture(
        kind=mixture,
        volume=read_volume(volume),
        developer_parts=number("developer parts", parts, 0.1, 10.0),
        ph=number("ph", ph, 2.0, 13.0),
        temperature_c=check_number("temperature", temperature, 10.0, 50.0, "C"),
        tone=None if carry is None else read_doses(carry),
    )


def read_volume(text: str) -> Any:
    """Read ``10``, or several developers by parts, ``10:2,20:1``."""
    if ":" not in text:
        return check_number("developer volume", text, 0.0, 100.0, "vol")
    pairs = []
    for pair in text.split(","):
        volume, _, parts = pair.partition(":")
        pairs.append(
            (
                check_number("developer volume", volume, 0.0, 100.0, "vol"),
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


def plot_path(text: str) -> Path:
    """Check that a picture can be written there before anything is computed."""
    path = Path(text)
    endings = (".png", ".svg", ".pdf")
    if path.suffix.lower() not in endings:
        raise LiftError(f"picture {text!r} does not end in {', '.join(endings)}")
    if not path.parent.is_dir():
        raise LiftError(f"folder {str(path.parent)!r} of picture {path.name!r} does not exist")
    return path


def print_json(payload: Any) -> None:
    """Print JSON; a number that is not finite is a fault of ours, not of the reader's."""
    click.echo(json.dumps(payload, indent=1, allow_nan=False))
