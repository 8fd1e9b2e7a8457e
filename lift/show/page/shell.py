"""Shell: all that the page is made of, each file under an address that holds its version.

A browser that has a file of a version need not ask for it again, and never mixes two versions.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

HERE = Path(__file__).parent
STATIC = HERE / "static"
FIRST, WORKER = "main.js", "worker.js"
STYLE = "style.css"
SHEETS = (
    "base.css",
    "rooms.css",
    "shell.css",
    "drawn.css",
    "hair.css",
    "clock.css",
    "tone.css",
    "after.css",
    "panel.css",
    "use.css",
    "photo.css",
)
"""Put together in this order they are the style: one file comes sooner than eleven."""

VERSION = "VERSION"
"""Stands in the worker for the version of the page."""

FOR_GOOD = "public, max-age=31536000, immutable"

_LATER = re.compile(r"""\bimport\(["']\./([\w.-]+\.js)["']\)""")
_IMPORT = re.compile(r"""^\s*(?:import|export|\})[^"'\n(]*["']\./([\w.-]+\.js)["']""", re.MULTILINE)


def modules(first: str = FIRST) -> list[str]:
    """Names of a script and of all that it imports, each once, those near it first.

    Examples
    --------
    >>> modules("dom.js")
    ['dom.js', 'words.js']
    """
    return _reached([first])


def later() -> list[str]:
    """Names of the scripts that the page loads once its first answer stands: those of the steps."""
    at_once = modules()
    begun = [name for each in at_once for name in _LATER.findall(_read(each))]
    return [name for name in _reached(begun) if name not in at_once]


def _reached(found: list[str]) -> list[str]:
    for name in found:
        found += [
            other for other in dict.fromkeys(_IMPORT.findall(_read(name))) if other not in found
        ]
    return found


def _read(name: str) -> str:
    return (STATIC / name).read_text("utf-8")


def files() -> list[str]:
    """Names of all files that the page needs: its scripts, its style, and whatever is neither."""
    others = (p.name for p in STATIC.iterdir() if p.suffix not in (".js", ".css"))
    return [*modules(), *later(), STYLE, *sorted(others)]


def address(name: str, version: str) -> str:
    """Address of a file of a version of the page; without one, of whatever there is."""
    return f"/static/{version}/{name}" if version else f"/static/{name}"


class Shell:
    """The page in its version, which is another once a file is changed.

    `render` returns the text of the page as a version, which may be empty.
    """

    def __init__(self, render: Callable[[str], str]) -> None:
        self._render = render
        self._made: tuple[object, str] = (None, "")

    @property
    def version(self) -> str:
        """Digest of all that the page is made of, its words included."""
        parts = sorted(p for room in ("static", "templates") for p in (HERE / room).rglob("*.*"))
        stamp = [(p, p.stat().st_mtime_ns) for p in parts]
        if self._made[0] != stamp:
            digest = hashlib.sha256(self._render("").encode())
            for path in parts:
                digest.update(path.name.encode() + path.read_bytes())
            self._made = stamp, digest.hexdigest()[:12]
        return self._made[1]

    @property
    def page(self) -> str:
        """Text of the page."""
        return self._render(self.version)

    @property
    def addresses(self) -> list[str]:
        """Addresses of everything that the page needs to run without a server."""
        return ["/", *(address(name, self.version) for name in files())]

    @property
    def worker(self) -> str:
        """Script of the worker: another with every version, which is what browsers look for."""
        return (STATIC / WORKER).read_text("utf-8").replace(VERSION, self.version)


class Versioned(StaticFiles):
    """Files at ``VERSION/NAME``, to be kept for good, and at ``NAME``, to be asked for again.

    Of another version there is only what took its place, which is not kept either.
    """

    def __init__(self, shell: Shell) -> None:
        super().__init__(directory=STATIC)
        self._shell = shell

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer with a file."""
        version, _, name = path.rpartition("/")
        if name == STYLE:
            style = "".join(map(_read, SHEETS))
            reply = Response(style, media_type="text/css", headers={"cache-control": "no-cache"})
        else:
            reply = await super().get_response(name or path, scope)
        if version == self._shell.version:
            reply.headers["cache-control"] = FOR_GOOD
        return reply
