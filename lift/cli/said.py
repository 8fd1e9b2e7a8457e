"""Commands, options and refusals that are said when asked for, in the language spoken by then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from lift.words import Note, known, say


class Said(click.Option):
    """An option whose help is said when it is asked for."""

    def __init__(self, *args: Any, says: str | Note, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.says = says

    def make_metavar(self, ctx: click.Context) -> str:
        """Word that stands for the value."""
        return _metavar(self.metavar or "", super().make_metavar(ctx))

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """Names, help, default and whether it is needed."""
        record = super().get_help_record(ctx)
        if record is None:
            return None
        extra = self.get_help_extra(ctx)
        more = [say("cli.help.default", value=extra["default"])] if "default" in extra else []
        more += [say("cli.help.required")] if "required" in extra else []
        return record[0], say(self.says) + (f"  [{'; '.join(more)}]" if more else "")


class SaidArgument(click.Argument):
    """An argument whose metavar, in the line of usage, is said when it is asked for."""

    def make_metavar(self, ctx: click.Context) -> str:
        """Word that stands for the value."""
        said = _metavar(self.metavar or "", super().make_metavar(ctx))
        return said if self.required else f"[{said}]"


def _metavar(name: str, otherwise: str) -> str:
    code = f"cli.metavar.{name}"
    return say(code) if known(code) else otherwise


class _SaidHelp(click.Command):
    """A command or group whose help is ``cli.NAME.help`` and ``cli.NAME.short``."""

    says: str = ""

    def get_short_help_str(self, limit: int = 45) -> str:
        """One line for the list of commands."""
        return say(f"cli.{self.says}.short")

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Let a refusal know whose option it is about."""
        try:
            return super().parse_args(ctx, args)
        except click.UsageError as error:
            error.ctx = error.ctx or ctx
            raise

    def format_usage(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write what is typed."""
        pieces = " ".join(self.collect_usage_pieces(ctx))
        formatter.write_usage(ctx.command_path, pieces, prefix=f"{say('cli.help.usage')} ")

    def collect_usage_pieces(self, ctx: click.Context) -> list[str]:
        """Words that stand for options and arguments."""
        self.options_metavar = say("cli.metavar.options")
        return super().collect_usage_pieces(ctx)

    def format_help_text(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Help in the language spoken."""
        self.help = say(f"cli.{self.says}.help" if self.says else "cli.help")
        super().format_help_text(ctx, formatter)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Every option; arguments stand in the line of usage."""
        options = (p for p in self.get_params(ctx) if not isinstance(p, click.Argument))
        rows = (p.get_help_record(ctx) for p in options)
        with formatter.section(say("cli.help.options")):
            formatter.write_dl([row for row in rows if row is not None])

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        """Option that asks for help."""
        option = super().get_help_option(ctx)
        if option is not None:
            option.help = say("cli.help.this")
        return option


class SaidCommand(_SaidHelp):
    """A command whose help is said when it is asked for."""

    # One too many is refused here, for click would say so in English.
    allow_extra_args = True

    def __init__(self, *args: Any, says: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.says = says

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Refuse what is typed too much."""
        rest = super().parse_args(ctx, args)
        if rest and not ctx.resilient_parsing:
            from lift.errors import LiftError

            raise LiftError("cli.extra", several=len(rest) > 1, typed=" ".join(rest))
        return rest


class SaidGroup(_SaidHelp, click.Group):
    """A group whose help is said when it is asked for."""

    def __init__(self, *args: Any, says: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.says = says

    def collect_usage_pieces(self, ctx: click.Context) -> list[str]:
        """Words that stand for options and commands."""
        self.subcommand_metavar = say("cli.metavar.commands")
        return super().collect_usage_pieces(ctx)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Every option and every command."""
        super().format_options(ctx, formatter)
        self.format_commands(ctx, formatter)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Every command with its line from the catalogue."""
        with formatter.section(say("cli.commands")):
            formatter.write_dl([(n, self.line(ctx, n)) for n in self.list_commands(ctx)])

    def line(self, ctx: click.Context, name: str) -> str:
        """Line of one command."""
        found = self.get_command(ctx, name)
        return "" if found is None else found.get_short_help_str()


def command(name: str, of: str = "") -> Callable[[Callable[..., Any]], SaidCommand]:
    """Make a command; `of` is the group it belongs to."""
    says = f"{of}_{name}" if of else name
    made: Any = click.command(name, cls=SaidCommand, says=says.replace("-", "_"))
    return made  # type: ignore[no-any-return]


def group(name: str, alone: bool = False) -> Callable[[Callable[..., Any]], SaidGroup]:
    """Make a group of commands; `alone`: it does something without one, too."""
    made: Any = click.group(name, cls=SaidGroup, says=name, invoke_without_command=alone)
    return made  # type: ignore[no-any-return]


def refusal(error: click.ClickException) -> str:
    """What click refuses, in the language spoken."""
    if isinstance(error, click.MissingParameter) and error.param is not None:
        hint = error.param.get_error_hint(error.ctx)
        return say(f"cli.missing.{error.param.param_type_name}", name=hint)
    if isinstance(error, click.NoSuchOption):
        return say("cli.no_option", name=error.option_name, meant=_meant(error.possibilities))
    if isinstance(error, click.BadOptionUsage):
        typed = error.ctx.command.params if error.ctx else []
        flags = (p for p in typed if getattr(p, "is_flag", False))
        flag = any(error.option_name in p.opts for p in flags) or error.option_name in _HELP
        return say("cli.no_value" if flag else "cli.needs_value", name=error.option_name)
    found = getattr(error, "command_name", None)
    if found is not None:
        return say("cli.no_command", name=found, meant=_meant(getattr(error, "possibilities", ())))
    return error.format_message()


_HELP = ("--help", "--version")


def _meant(near: Any) -> Note | str:
    names = [repr(name) for name in sorted(near or ())]
    if not names:
        return ""
    return " " + say("cli.meant" if len(names) == 1 else "cli.meant_one_of", names=names)
