"""Command line: thin - parse, call, show."""

from __future__ import annotations

import sys
from importlib import import_module

import click

from lift import __version__
from lift.cli.said import Said, SaidGroup, refusal
from lift.words import known, say

COMMANDS = {
    "preview": "lift.cli.preview",
    "choose": "lift.cli.choose",
    "tone": "lift.cli.tone",
    "measure": "lift.cli.measure",
    "stages": "lift.cli.stages",
    "strand": "lift.cli.strand",
    "plan": "lift.cli.plan",
    "card": "lift.cli.card",
    "visit": "lift.cli.visit",
    "record": "lift.cli.record",
    "page": "lift.cli.page",
    "swatches": "lift.cli.swatches",
    "tune": "lift.cli.tune",
    "curves": "lift.cli.curves",
    "next": "lift.cli.next",
    "structures": "lift.cli.structures",
    "calibration": "lift.cli.calibration",
    "evidence": "lift.cli.evidence",
    "handout": "lift.cli.handout",
}


class LazyGroup(SaidGroup):
    """A group whose commands load only when asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order in which they are used."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the module of a command and return its ``command``."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(COMMANDS[cmd_name]).command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Refuse an unknown command with the nearest one."""
        from lift.errors import check_choice

        check_choice("cli.command", args[0], COMMANDS)
        return super().resolve_command(ctx, args)

    def line(self, ctx: click.Context, name: str) -> str:
        """Line of a command, for which it need not be loaded."""
        code = f"cli.{name}.short"
        return say(code) if known(code) else super().line(ctx, name)


def _version(ctx: click.Context, _: click.Parameter, asked: bool) -> None:
    if asked and not ctx.resilient_parsing:
        click.echo(say("cli.version", version=__version__))
        ctx.exit()


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version",
    cls=Said,
    says="cli.help.version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_version,
)
def app() -> None:
    """What warm colour lightening exposes, when it is too warm for a goal, and what answers it."""


def main() -> None:
    """Run the command line; bad input gives one line on stderr and exit code 2.

    Below it stands the line of a file that cannot be parsed, with a caret.
    """
    try:
        code = app(prog_name="lift", standalone_mode=False)
    except ValueError as error:
        # What refuses a value has loaded this already; help has no need of it.
        from lift.errors import LiftError

        if not isinstance(error, LiftError):
            raise
        click.echo(say("cli.error", error=error), err=True)
        pointed = dict(error.note.values).get("pointed")
        if pointed is not None:
            click.echo(say(pointed), err=True)
        sys.exit(2)
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message(), err=True)
        sys.exit(2)
    except click.ClickException as error:
        click.echo(say("cli.error", error=refusal(error)), err=True)
        sys.exit(2)
    except (click.Abort, KeyboardInterrupt):
        click.echo(say("cli.stopped"), err=True)
        sys.exit(130)
    sys.exit(code if isinstance(code, int) else 0)
