"""Devices: which ones are paired, since when, and how a pairing ends."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from lift.errors import check_choice
from lift.show.page.sessions import FullError, Sessions

LASTS_DAYS = 30
UNUSED_DAYS = 14
MOST = 200
FILE = "paired"
DAY_SECONDS = 86_400.0
NAME_CHARACTERS = 60
TOUCH_SECONDS = 60.0
"""Use within this is not written down again."""


@dataclass(frozen=True)
class Device:
    """One paired device; times are seconds since the epoch.

    Parameters
    ----------
    number : str
        What it is unpaired by.
    name : str
        What it says it is.
    address : str
        Where it was when it was paired.
    """

    number: str
    name: str
    address: str
    paired: float
    used: float

    @property
    def until(self) -> float:
        """When the pairing ends [s since the epoch] if it is not used before."""
        return min(self.paired + LASTS_DAYS * DAY_SECONDS, self.used + UNUSED_DAYS * DAY_SECONDS)


class Devices:
    """Paired devices, each a file in the folder of its session.

    The file's time of change is when the device was last seen. What an older release wrote there
    says nothing of when, so those devices are to be paired again.
    """

    def __init__(self, sessions: Sessions, clock: Callable[[], float] = time.time) -> None:
        self._sessions = sessions
        self._clock = clock

    def pair(self, agent: str, address: str) -> str:
        """Pair a device, under a new token; that token.

        Raises
        ------
        FullError
            When too many are paired.
        """
        if len(self.paired()) >= MOST:
            raise FullError("page.devices.full", most=MOST)
        token = self._sessions.new_token()
        kept = {"name": _name(agent), "address": address, "paired": self._clock()}
        self._sessions.write(token, FILE, json.dumps(kept).encode())
        self._seen(self._sessions.folder_of(token) / FILE)
        return token

    def is_paired(self, token: str) -> bool:
        """Whether the device of a session is paired; that it was seen is written down."""
        path = self._sessions.folder_of(token) / FILE
        device = _read(path)
        if device is None or not self._lasts(device):
            return False
        if abs(self._clock() - device.used) > TOUCH_SECONDS:
            self._seen(path)
        return True

    def paired(self) -> list[Device]:
        """All paired devices, the last one first; pairings that have ended are cleared away."""
        found = []
        for path in self._sessions.files(FILE):
            device = _read(path)
            if device is not None and self._lasts(device):
                found.append(device)
            else:
                _remove(path)
        return sorted(found, key=lambda device: -device.paired)

    def unpair(self, number: str) -> Device:
        """End the pairing of a device, at once.

        Raises
        ------
        LiftError
            When no device has that number.
        """
        paired = {device.number: device for device in self.paired()}
        device = paired[check_choice("page.devices.number", number, paired)]
        for path in self._sessions.files(FILE):
            if _number(path) == number:
                _remove(path)
        return device

    def unpair_all(self) -> int:
        """End all pairings, at once; how many there were."""
        count = len(self.paired())
        for path in self._sessions.files(FILE):
            _remove(path)
        return count

    def number_of(self, token: str) -> str:
        """Number of the device of a session."""
        return _number(self._sessions.folder_of(token) / FILE)

    def _lasts(self, device: Device) -> bool:
        now = self._clock()
        # A clock set back by an hour or a zone ends nothing; a pairing from far ahead was made up.
        return now < device.until and device.paired < now + DAY_SECONDS

    def _seen(self, path: Path) -> None:
        now = self._clock()
        # Of one that was unpaired meanwhile nothing must come back.
        with suppress(OSError):
            os.utime(path, (now, now))


def _name(agent: str) -> str:
    """What stands in the first brackets of what a browser calls itself: the machine it is on.

    Examples
    --------
    >>> _name("Agent/5.0 (Phone; System 9) Browser/1")
    'Phone; System 9'
    """
    inner = agent.partition("(")[2].partition(")")[0] or agent
    return "".join(c for c in inner if c.isascii() and c.isprintable())[:NAME_CHARACTERS]


def _number(path: Path) -> str:
    return path.parent.name[:8]


def _read(path: Path) -> Device | None:
    try:
        kept, used = json.loads(path.read_bytes()), path.stat().st_mtime
        name, address, paired = kept["name"], kept["address"], float(kept["paired"])
    except (OSError, ValueError, TypeError, LookupError):
        return None
    return Device(_number(path), str(name), str(address), paired, used)


def _remove(path: Path) -> None:
    path.unlink(missing_ok=True)
    # What an older release kept there stays.
    with suppress(OSError):
        path.parent.rmdir()
