"""Options shared by commands, and what they build."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from lift.errors import LiftError, check_number
from lift.practice.typed import (
    read_doses,
    read_fibre,
    read_hair,
    read_lab,
    read_mixture,
    read_volume,
)

if TYPE_CHECKING:
    from lift.model.curves import CurveSet

__all__ = [
    "read_doses",
    "read_fibre",
    "read_hair",
    "read_lab",
    "read_mixture",
    "read_volume",
]

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


@contextmanager
def progress_bar() -> Iterator[Callable[[str, int, int], None]]:
    """Bar on stderr, where that is a terminal: told what is done, how many, out of how many."""
    from rich.console import Console
    from rich.progress import Progress as Bar

    console = Console(stderr=True)
    if not console.is_terminal:
        yield lambda step, done, of: None
        return
    with Bar(console=console, transient=True) as bar:
        task = bar.add_task("fitting", total=None)

        def say(step: str, done: int, of: int) -> None:
            bar.update(task, description=step, completed=done, total=of)

        yield say


def names_of(texts: tuple[str, ...]) -> list[str]:
    """Names typed with commas between them, over several options or in one."""
    return [n.strip() for text in texts for n in text.split(",") if n.strip()]


def numbers_of(name: str, text: str, low: float, high: float, unit: str = "") -> list[float]:
    """Numbers typed with commas between them."""
    return [check_number(name, part.strip(), low, high, unit) for part in text.split(",")]
