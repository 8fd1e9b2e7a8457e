"""Pairing: who may use a page that is served beyond this machine."""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Callable

DIGITS = 8
TRIES = 5
LOCKED_SECONDS = 60.0


class Pairing:
    """A code printed where the server runs, to be typed once on each device.

    Wrong codes are counted for all devices together, as a stranger can be many of them: with 5
    tries a minute, 8 digits last for years. The clock gives seconds that never run backwards.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self.code = f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"
        self._clock = clock
        self._wrong: list[float] = []

    @property
    def locked_seconds(self) -> float:
        """How long no code is taken [s]; 0 when one is."""
        now = self._clock()
        self._wrong = [at for at in self._wrong if now - at < LOCKED_SECONDS]
        if len(self._wrong) < TRIES:
            return 0.0
        return LOCKED_SECONDS - (now - self._wrong[0])

    def accepts(self, typed: str) -> bool:
        """Whether a typed code is right; spaces do not count."""
        if self.locked_seconds > 0.0:
            return False
        digits = "".join(typed.split())
        if hmac.compare_digest(digits.encode(), self.code.encode()):
            return True
        self._wrong.append(self._clock())
        return False
