"""Turns: so much is done for one asker at once, and nobody waits for another's crowd."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from lift.errors import LiftError

MOST_WAITING = 256


class BusyError(LiftError):
    """One asker has too many requests waiting."""


class Turns:
    """Lets a few requests of each asker in at once; the others of that asker wait in a row.

    Examples
    --------
    >>> async def ask(turns):
    ...     async with turns.of("phone"):
    ...         return "answered"
    >>> asyncio.run(ask(Turns(2)))
    'answered'
    """

    def __init__(self, at_once: int, most_waiting: int = MOST_WAITING) -> None:
        self._at_once, self._most = at_once, at_once + most_waiting
        self._asking: dict[str, tuple[asyncio.Semaphore, int]] = {}

    @asynccontextmanager
    async def of(self, asker: str) -> AsyncIterator[None]:
        """Hold a turn of an asker.

        Raises
        ------
        BusyError
            When too many wait already.
        """
        door, count = self._asking.get(asker) or (asyncio.Semaphore(self._at_once), 0)
        if count >= self._most:
            raise BusyError("page.busy")
        self._asking[asker] = door, count + 1
        try:
            async with door:
                # Others are heard before each, even where an answer takes no waiting itself.
                await asyncio.sleep(0)
                yield
        finally:
            _, count = self._asking.pop(asker)
            if count > 1:
                self._asking[asker] = door, count - 1
