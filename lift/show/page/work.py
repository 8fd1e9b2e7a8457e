"""Work: computing beside the server's loop, each question once, with a bounded memory."""

from __future__ import annotations

import asyncio
import os
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from multiprocessing import get_context, parent_process
from threading import Thread
from time import perf_counter
from typing import Any, Generic, TypeVar

T = TypeVar("T")


class Processes(Executor):
    """Worker processes that are started anew when one of them dies."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._pool = self._start()

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> Future[T]:
        """Run a function in one of the processes."""
        try:
            return self._pool.submit(fn, *args, **kwargs)
        except BrokenExecutor:
            self._pool = self._start()
            return self._pool.submit(fn, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Stop the processes."""
        self._pool.shutdown(wait, cancel_futures=cancel_futures)

    def _start(self) -> ProcessPoolExecutor:
        # A fresh interpreter for each: a fork would copy locks that another thread holds.
        return ProcessPoolExecutor(self._count, get_context("spawn"), _leave_with_parent)


def _leave_with_parent() -> None:
    """Let a worker process end when its server was killed, which it would not notice itself."""

    def watch() -> None:
        parent = parent_process()
        if parent is not None:
            parent.join()
            os._exit(0)

    Thread(target=watch, daemon=True).start()


class Work(Generic[T]):
    """Runs jobs on an executor; equal questions asked at the same time share one answer.

    So many answers are remembered, the least recently used leaving first.
    """

    def __init__(self, executor: Executor, remember: int) -> None:
        self._executor = executor
        self._remember = remember
        self._answers: OrderedDict[Hashable, T] = OrderedDict()
        self._running: dict[Hashable, asyncio.Future[tuple[T, float]]] = {}

    def fresh(self) -> Work[T]:
        """The same, with nothing remembered yet."""
        return Work(self._executor, self._remember)

    async def get(self, key: Hashable, job: Callable[[], T]) -> T:
        """Answer of a job, from memory, from one already running with that key, or computed."""
        return (await self.get_with_wait(key, job))[0]

    async def get_with_wait(self, key: Hashable, job: Callable[[], T]) -> tuple[T, float]:
        """Answer of a job as from `get`, and how long it waited for others [s]."""
        if key in self._answers:
            self._answers.move_to_end(key)
            return self._answers[key], 0.0
        start = perf_counter()
        try:
            answer, computing = await self._run(key, job)
        except BrokenExecutor:
            # A process has died, perhaps for want of memory; a fresh one gets another try.
            answer, computing = await self._run(key, job)
        return answer, max(0.0, perf_counter() - start - computing)

    async def once(self, job: Callable[[], T]) -> T:
        """Answer of a job that nobody else asks for; nothing of it is remembered."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._executor, job)

    async def _run(self, key: Hashable, job: Callable[[], T]) -> tuple[T, float]:
        if key not in self._running:
            loop = asyncio.get_running_loop()
            future = loop.run_in_executor(self._executor, _timed, job)
            self._running[key] = future
            future.add_done_callback(lambda done: self._finish(key, done))
        # One asker that goes away must not take the answer from the others.
        return await asyncio.shield(self._running[key])

    def _finish(self, key: Hashable, done: asyncio.Future[tuple[T, float]]) -> None:
        self._running.pop(key, None)
        if done.cancelled() or done.exception() is not None:
            return
        self._answers[key] = done.result()[0]
        while len(self._answers) > self._remember:
            self._answers.popitem(last=False)


def _timed(job: Callable[[], T]) -> tuple[T, float]:
    start = perf_counter()
    return job(), perf_counter() - start
