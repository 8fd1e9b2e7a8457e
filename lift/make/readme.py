"""Print anew what README shows of commands, and its picture: ``python -m lift.make.readme``.

A command that README shows is an indented line of its own, and the indented text after it is what
it prints, from the first line to one that begins as the last line there does.
"""

from __future__ import annotations

import io
import re
import shlex
from contextlib import redirect_stdout
from pathlib import Path

from lift.errors import LiftError
from lift.files import write_whole

FILE = Path(__file__).parents[2] / "README.md"
PICTURE = FILE.parent / "notebooks" / "pictures" / "preview.png"

SHOWN = re.compile(
    r"^    lift (?P<command>.+)\n\n(?P<printed>    (?!lift |make ).+\n(?:\n?    .*\n)*)",
    re.MULTILINE,
)


def shown(text: str) -> tuple[str, ...]:
    """Commands of which a text shows what they print, without ``lift``.

    Examples
    --------
    >>> shown('''
    ...     lift stages --brief
    ...
    ...     Level  Natural
    ... ''')
    ('stages --brief',)
    """
    return tuple(found["command"] for found in SHOWN.finditer(text))


def renewed(text: str) -> str:
    """Return the text with what its commands print now.

    Raises
    ------
    LiftError
        When a command no longer prints a line that begins as the last one shown.
    """

    def block(found: re.Match[str]) -> str:
        last = found["printed"].rstrip().rsplit("\n", 1)[-1].split()[0]
        lines = [line.rstrip() for line in printed(found["command"]).splitlines()]
        ends = [at for at, line in enumerate(lines) if line.split()[:1] == [last]]
        if not ends:
            raise LiftError(f"lift {found['command']} prints no line that begins with {last!r}")
        kept = "".join(f"    {line}".rstrip() + "\n" for line in lines[: ends[0] + 1])
        return f"    lift {found['command']}\n\n{kept}"

    return SHOWN.sub(block, text)


def printed(command: str) -> str:
    """Return what a command prints where nobody watches."""
    from lift.cli import app

    out = io.StringIO()
    with redirect_stdout(out):
        app(shlex.split(command), prog_name="lift", standalone_mode=False)
    return out.getvalue()


def main() -> None:
    """Write README anew, and draw the picture of the preview that it shows."""
    text = renewed(FILE.read_text("utf-8"))
    write_whole(FILE, text, "file.page")
    for command in shown(text):
        if command.startswith("preview "):
            printed(f"{command} --plot {shlex.quote(str(PICTURE))}")


if __name__ == "__main__":
    main()
