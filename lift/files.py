"""Files read whole and written whole: the only doors between lift and the disk.

What is read may come from anybody: it is opened only when it is a regular file, read only up to a
limit, and refused in one line. What is written appears complete under its name, or not at all. What
is kept opens for good: see `Kind`.
"""

from __future__ import annotations

import json
import os
import stat
import tomllib
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from lift.errors import LiftError, named
from lift.words import LONGEST, Note, note

DEEPEST = 40
"""Tables and lists inside each other."""

NamedPath = str | os.PathLike[str]

DATA = Path(__file__).parent / "data"
"""Folder of shipped data. Asking `importlib.resources` for it takes longer than reading it all."""


def beside(name: str) -> Path:
    """Folder that lies beside the package in a checkout, and among its data once installed."""
    installed = DATA / name
    return installed if installed.is_dir() else DATA.parents[1] / name


@dataclass(frozen=True)
class Kind:
    """A kind of file that lift keeps, and the way to it from what older releases wrote.

    A field more needs no new version: what a file lacks takes its default, and what it has beyond
    what is known here makes it a file of the future. A change of meaning does: add a step.

    Parameters
    ----------
    name : str
        Code of what it is called.
    steps : tuple of callable
        The first turns what version 1 holds into what version 2 does, and so on.

    Examples
    --------
    >>> kind = Kind("file.strand", (lambda old: {"new": old["old"]},))
    >>> kind.version
    2
    >>> kind.brought_up({"old": 5}, 1, "strand.json")
    {'new': 5}
    """

    name: str
    steps: tuple[Callable[[Any], Any], ...] = ()

    @property
    def version(self) -> int:
        """Version that is written today."""
        return len(self.steps) + 1

    def brought_up(self, data: Any, version: Any, where: NamedPath) -> Any:
        """Data as today's version has it; without a version it is of the first.

        Raises
        ------
        LiftError
            For a version that is not known here.
        """
        for step in self.steps[self.check_version(version, where) - 1 :]:
            data = step(data)
        return data

    def check_version(self, version: Any, where: NamedPath) -> int:
        """Version of a file; see `brought_up`."""
        found = 1 if version is None else version
        if isinstance(found, bool) or not isinstance(found, int) or found < 1:
            raise LiftError("file.odd_version", place=self.at(where), version=found)
        if found > self.version:
            raise LiftError(
                "file.of_future", place=self.at(where), version=found, known=self.version
            )
        return found

    def refuse_unknown(self, names: Iterable[str], known: Iterable[str], where: NamedPath) -> None:
        """Refuse what a later release must have added: left out, the answer would be wrong."""
        if unknown := sorted({*names} - {*known}):
            raise LiftError("file.unknown_fields", place=self.at(where), names=unknown)

    def at(self, where: NamedPath) -> Note:
        """Kind and path, as an error says them."""
        return note("file.at", what=note(self.name), path=shown_path(where))


def write_whole(
    path: NamedPath, content: str | bytes, what: str | Note, *, private: bool = False
) -> None:
    """Write a file beside its place, force it to disk, then rename it onto its place.

    The name beside is new and its own, so that neither another writer nor a planted link can
    share it; nothing of it is left when anything fails.

    Parameters
    ----------
    path : path-like
        Target. A link there is replaced, not followed.
    content : str or bytes
        Text is written as UTF-8, its line ends as they are.
    what : str or Note
        Code of the kind of file, for the error.
    private : bool
        Readable by its owner only, from the first moment.

    Raises
    ------
    LiftError
        When it cannot be written, or something that is no file stands in its place.
    """
    import secrets

    try:
        target = Path(path)
        data = content.encode("utf-8") if isinstance(content, str) else content
        if target.exists() and not target.is_file():
            raise _refusal(target)
        beside = target.with_name(f".{secrets.token_hex(8)}.part")
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _flag("O_NOFOLLOW") | _flag("O_BINARY")
        file = os.open(beside, flags, 0o600 if private else 0o666)
        try:
            with open(file, "wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            os.replace(beside, target)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise
        _sync_folder(target.parent)
    except (OSError, ValueError) as error:
        raise _failed("file.cannot_write", what, str(path), error) from None


def read_whole(path: NamedPath, limit_bytes: int, what: str | Note) -> str:
    """Text of a file in UTF-8, with or without a byte-order mark.

    Parameters
    ----------
    path : path-like
        A regular file; a pipe or a device, which may never end, is refused.
    limit_bytes : int
        Largest size, held to while reading: a file may grow, or lie about its size.
    what : str or Note
        Code of the kind of file, for the error.

    Raises
    ------
    LiftError
        When it cannot be read, is larger or is not UTF-8.
    """
    return as_text(read_bytes(path, limit_bytes, what), what, path)


def read_bytes(path: NamedPath, limit_bytes: int, what: str | Note) -> bytes:
    """Content of a file that is not text; see `read_whole`."""
    try:
        # Without waiting: a pipe that nobody writes to must not hold us up.
        file = os.open(path, os.O_RDONLY | _flag("O_NONBLOCK") | _flag("O_BINARY"))
        with open(file, "rb") as source:
            if not stat.S_ISREG(os.fstat(file).st_mode):
                raise _refusal(Path(path))
            content = source.read(limit_bytes + 1)
    except (OSError, ValueError) as error:
        raise _failed("file.cannot_read", what, shown_path(path), error) from None
    if len(content) > limit_bytes:
        raise LiftError(
            "file.too_large", what=named(what), path=shown_path(path), kilobytes=limit_bytes / 1000
        )
    return content


def as_text(content: bytes, what: str | Note, path: NamedPath) -> str:
    """UTF-8 text of what was read."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _failed("file.cannot_read", what, shown_path(path), error) from None


def parse_toml(text: str, what: str | Note, where: NamedPath = "") -> dict[str, Any]:
    """Tables of a TOML text; `where` is its path, when it has one.

    Raises
    ------
    LiftError
        When it is not TOML, or holds deeper tables or longer numbers than can be read.
    """
    return _parsed(tomllib.loads, text, "TOML", what, where)  # type: ignore[no-any-return]


def parse_json(text: str, what: str | Note, where: NamedPath = "") -> Any:
    """Value of a JSON text; see `parse_toml`."""
    return _parsed(json.loads, text, "JSON", what, where)


def shown_path(path: NamedPath) -> str:
    """Path as an error shows it: one line, not too long."""
    text = os.fspath(path)
    text = text if text.isprintable() else repr(text)
    return text if len(text) <= LONGEST else f"...{text[3 - LONGEST :]}"


def _parsed(
    parse: Callable[[str], Any], text: str, kind: str, what: str | Note, where: NamedPath
) -> Any:
    text = text.removeprefix("\ufeff")
    try:
        value = parse(text)
        if not _too_deep(value):
            return value
        reason: Note | str = note("file.too_deep")
    except RecursionError:
        reason = note("file.too_deep")
    except (tomllib.TOMLDecodeError, json.JSONDecodeError) as error:
        place = _place(what, where)
        raise LiftError(f"file.not_{kind.lower()}", place=place, **_fault(error, text)) from None
    except ValueError:
        # The interpreter refuses to convert thousands of digits.
        reason = note("file.too_many_digits")
    raise LiftError("file.cannot_parse", place=_place(what, where), kind=kind, reason=reason)


def _place(what: str | Note, where: NamedPath) -> Note:
    return note("file.at", what=named(what), path=shown_path(where)) if where else named(what)


def _fault(error: ValueError, text: str) -> dict[str, Any]:
    """What is wrong with a text, at which line and column, and that line with a caret under it."""
    if isinstance(error, json.JSONDecodeError):
        reason, line, column = error.msg, error.lineno, error.colno
    else:
        # The parser tells the place only in words; without one it is the end of the text.
        reason, _, at = str(error).rpartition(" (at ")
        numbers = [int(part) for part in at.rstrip(")").replace(",", "").split() if part.isdigit()]
        end = text.rstrip()
        last = [end.count("\n") + 1, len(end) - end.rfind("\n")]
        line, column = numbers if len(numbers) == 2 else last
    wrong = text.replace("\r\n", "\n").split("\n")[line - 1]
    start = max(0, column - LONGEST // 2)
    shown = wrong[start : start + LONGEST].rstrip()
    # Neither a tab, which would move the caret, nor what a terminal might obey.
    shown = "".join(each if each.isprintable() else " " for each in shown)
    pointed = note("file.pointed", text=shown, caret=" " * (column - 1 - start) + "^")
    return {"reason": reason[:LONGEST], "line": line, "column": column, "pointed": pointed}


def _too_deep(value: Any) -> bool:
    """Found level by level, for what is too deep must not recurse here either."""
    level = [value]
    for _ in range(DEEPEST):
        lists = [
            v.values() if isinstance(v, dict) else v for v in level if isinstance(v, dict | list)
        ]
        if not lists:
            return False
        level = list(chain.from_iterable(lists))
    return True


def _refusal(path: Path) -> OSError:
    code = "file.is_folder" if path.is_dir() else "file.not_regular"
    return OSError(None, note(code))


def _failed(code: str, what: str | Note, path: str, error: OSError | ValueError) -> LiftError:
    reason: Any
    if isinstance(error, UnicodeError):
        reason = note("file.not_text")
    elif isinstance(error, OSError):
        reason = error.strerror
    else:
        # A zero byte, which no path may hold.
        reason = note("file.bad_name")
    return LiftError(code, what=named(what), path=path, reason=reason)


def _flag(name: str) -> int:
    """Flag of the operating system; 0 where it has none."""
    return getattr(os, name, 0)


def _sync_folder(folder: Path) -> None:
    """Force the new name to disk, where folders can be opened."""
    with suppress(OSError):
        found = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(found)
        finally:
            os.close(found)
