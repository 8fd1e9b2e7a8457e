"""Pairing: who may use a page that is served beyond this machine."""

from __future__ import annotations

import hmac
import json
import secrets
import time
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path

from lift.files import write_whole

DIGITS = 12
CODE_MINUTES = 15
FREE_TRIES = 3
LONGEST_WAIT_SECONDS = 900.0
MOST_ADDRESSES = 10_000
FILE = "code.json"


class Pairing:
    """A code printed where the server runs, to be typed once on each device.

    It lies in the page's data folder, so that whoever may read that folder can print another at
    any time, which starts every count anew. Wrong codes are counted by address: the first cost
    nothing, each further one doubles the wait of that address and of no other, so that a stranger
    keeps nobody out. Guessing from many addresses is left to the code itself: at a thousand tries
    a second its 12 digits are found in its 15 minutes once in a million times.

    Parameters
    ----------
    folder : pathlib.Path
        The page's data folder.
    clock : callable
        Time since the epoch [s], which server and command line share.
    """

    def __init__(self, folder: Path, clock: Callable[[], float] = time.time) -> None:
        self._path = folder / FILE
        self._clock = clock
        self._wrong: OrderedDict[str, tuple[int, float]] = OrderedDict()
        self._counted_for = ""

    def renew(self) -> str:
        """Make another code in place of the last; its digits."""
        code = f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"
        made = json.dumps({"code": code, "made": self._clock()})
        write_whole(self._path, made, "file.page", private=True)
        return code

    @property
    def code(self) -> str | None:
        """Code that is taken now, if any is."""
        try:
            kept = json.loads(self._path.read_text("ascii"))
            code, made = str(kept["code"]), float(kept["made"])
        except (OSError, ValueError, TypeError, LookupError):
            return None
        return code if 0.0 <= self._clock() - made < 60.0 * CODE_MINUTES else None

    def wait_seconds(self, address: str) -> float:
        """How long no code is taken from an address [s]; 0 when one is."""
        if (code := self.code) is not None and code != self._counted_for:
            self._counted_for = code
            self._wrong.clear()
        count, last = self._wrong.get(address, (0, 0.0))
        if count < FREE_TRIES:
            return 0.0
        wait = min(2.0 ** (count - FREE_TRIES + 1), LONGEST_WAIT_SECONDS)
        # A clock that was set back must not make a wait longer.
        return max(0.0, wait - max(0.0, self._clock() - last))

    def accepts(self, typed: str, address: str) -> bool:
        """Whether a code typed at an address is right; spaces do not count."""
        if self.wait_seconds(address) > 0.0:
            return False
        digits, code = "".join(typed.split()), self.code
        if code is not None and hmac.compare_digest(digits.encode(), code.encode()):
            self._wrong.pop(address, None)
            return True
        count, _ = self._wrong.pop(address, (0, 0.0))
        self._wrong[address] = count + 1, self._clock()
        while len(self._wrong) > MOST_ADDRESSES:
            self._wrong.popitem(last=False)
        return False


def grouped(code: str) -> str:
    """Digits of a code as they are read and typed, in fours.

    Examples
    --------
    >>> grouped("123456789012")
    '1234 5678 9012'
    """
    return " ".join(code[start : start + 4] for start in range(0, len(code), 4))
