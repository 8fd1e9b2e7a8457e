"""Options shared by commands, made from what quantities declare, and what they build."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from lift.cli.said import Said, SaidArgument, SaidCommand, command, group
from lift.errors import LiftError, check_number
from lift.quantities import FLAGS, Quantity, typed_quantities
from lift.words import Note, say

if TYPE_CHECKING:
    from lift.model.curves import CurveSet
    from lift.model.mixtures import MixtureClasses

__all__ = ["SaidCommand", "command", "group"]

F = TypeVar("F", bound=Callable[..., Any])
R = TypeVar("R")


def option(*names: str, says: str | Note, **kwargs: Any) -> Callable[[F], F]:
    """Make an option whose help is a note or a code of the catalogue; it shows its default."""
    shown = {"show_default": True} if kwargs.get("default") is not None else {}
    return click.option(*names, cls=Said, says=says, **shown | kwargs)


def argument(name: str, metavar: str, **kwargs: Any) -> Callable[[F], F]:
    """Make an argument; its metavar is ``cli.metavar.METAVAR``."""
    return click.argument(name, cls=SaidArgument, metavar=metavar, **kwargs)


def stack(*decorators: Callable[[F], F]) -> Callable[[F], F]:
    """Put several options on a command, listed in the order given."""

    def apply(function: F) -> F:
        for decorator in reversed(decorators):
            function = decorator(function)
        return function

    return apply


def asking(q: Quantity, name: str = "", says: str | Note = "", **kwargs: Any) -> Callable[[F], F]:
    """Option of a quantity, named as it is typed; a flag where it has one."""
    usual: dict[str, Any] = {"metavar": q.name, "required": q.required or q.insist}
    if q.flag is True:
        usual = {"is_flag": True}
    elif q.flag is not None:
        # Typed alone it stands for a number; another number may follow.
        usual = {"metavar": q.name, "is_flag": False, "flag_value": FLAGS[1]}
    if q.default_typed and not q.insist:
        usual |= {"default": q.default_typed}
    flag = f"--{(name or q.typed).replace('_', '-')}"
    return option(flag, name or q.typed, says=says or q.help, **usual | kwargs)


def asked(*owners: type, **kwargs: Any) -> Callable[[F], F]:
    """Options of all quantities of some classes; the command takes them as ``**typed``."""
    return stack(*(asking(q, **kwargs) for _, q in typed_quantities(*owners).values()))


mixtures_option = option(
    "--mixtures",
    metavar="file",
    says="cli.option.mixtures",
    expose_value=False,
    callback=lambda context, _, path: _know(context, path),
)
unsealed_option = option(
    "--unsealed",
    is_flag=True,
    says="cli.option.unsealed",
    expose_value=False,
    callback=lambda context, _, given: context.meta.__setitem__("lift.unsealed", given),
)
curves_option = stack(
    option("--curves", "curves_file", metavar="file", says="cli.option.curves"), unsealed_option
)
brief_option = option("--brief", is_flag=True, says="cli.option.brief")
json_option = option("--json", "as_json", is_flag=True, says="cli.option.json")


def picture_option(*names: str, says: str) -> Callable[[F], F]:
    """Make an option for the file of a picture, refused before anything is computed."""
    return option(
        *names,
        metavar="file",
        says=says,
        callback=lambda _, __, path: None if path is None else plot_path(path),
    )


plot_option = picture_option("--plot", "picture", says="cli.option.plot")


def _know(context: click.Context, path: str | None) -> None:
    # The context is that of this one command: nothing is left behind for another.
    if path is not None:
        from lift.model.mixtures import load_mixtures, mixture_classes

        takes = [p.opts[0] for p in context.command.params if p.metavar in ("kind", "kinds")]
        named = names_of((path,))
        if takes and all(name in mixture_classes() for name in named) and not Path(path).exists():
            raise LiftError("cli.mixtures_names", value=path, option=takes[-1])
        context.meta["lift.mixtures"] = load_mixtures(path)


def known_mixtures() -> MixtureClasses | None:
    """Classes of mixture given with ``--mixtures``; None: the shipped ones."""
    context = click.get_current_context(silent=True)
    return None if context is None else context.meta.get("lift.mixtures")


def number(name: str, text: str | None, low: float, high: float, unit: str = "") -> float | None:
    """Read a number as typed; None stays None."""
    return None if text is None else check_number(name, text, low, high, unit)


def read_curves(path: str | None) -> CurveSet:
    """Load a curve-set file, or the shipped set; say which parameters the file lacks."""
    from lift.model.curves import FILLED, default_curves, load_curves

    context = click.get_current_context(silent=True)
    unsealed = context is not None and context.meta.get("lift.unsealed", False)
    curves = default_curves() if path is None else load_curves(path, unsealed=unsealed)
    if lacking := dict(curves.provenance).get(FILLED):
        click.echo(say("curves.filled", path=path, names=lacking), err=True)
    classes = known_mixtures()
    return curves if classes is None else curves.with_mixtures(classes)


def plot_path(text: str) -> Path:
    """Check that a picture can be written there before anything is computed."""
    path = Path(text)
    endings = (".png", ".svg", ".pdf")
    if path.suffix.lower() not in endings:
        raise LiftError("cli.picture_ending", value=text, known=endings)
    if not path.parent.is_dir():
        raise LiftError("cli.picture_folder", folder=str(path.parent), name=path.name)
    return path


def print_json(payload: Any) -> None:
    """Print JSON; a number that is not finite is a fault of ours, not of the reader's."""
    click.echo(json.dumps(payload, indent=1, allow_nan=False))


def print_answer(result: Any) -> None:
    """Print the JSON form of a result."""
    from lift.answers import to_dict

    print_json(to_dict(result))


def answer(
    result: R,
    as_json: bool,
    tell: Callable[[R], object],
    *pictures: tuple[Path | None, Callable[[R], Any]],
) -> None:
    """Draw the pictures asked for; then print the JSON, or `tell` the result and name them."""
    asked_for = [(path, draw) for path, draw in pictures if path is not None]
    if asked_for:
        from lift.show.plots.figure import save_figure

        for path, draw in asked_for:
            save_figure(draw(result), path)
    if as_json:
        print_answer(result)
        return
    tell(result)
    for path, _ in asked_for:
        click.echo(say("cli.picture_drawn", path=path))


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
        task = bar.add_task(say("cli.fitting"), total=None)

        def tell(step: str, done: int, of: int) -> None:
            bar.update(task, description=say(step), completed=done, total=of)

        yield tell


def names_of(texts: tuple[str, ...]) -> list[str]:
    """Names typed with commas between them, over several options or in one."""
    return [n.strip() for text in texts for n in text.split(",") if n.strip()]


def numbers_of(q: Quantity, text: str) -> list[float]:
    """Numbers of a quantity typed with commas between them."""
    return [q.number(part.strip()) for part in text.split(",")]
