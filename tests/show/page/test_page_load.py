"""Many users at once: the benchmark's own figures, on a small scale; work is done once and kept."""

import asyncio
import os
import re
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from threading import Event

import pytest

from lift.make import bench_page
from lift.show.page.work import Processes, Work


@pytest.mark.slow
def test_users_at_once_get_answers_and_memory_stays(served, run):
    lines = run(bench_page.load(served.port, os.getpid(), 12, 4.0))
    text = "\n".join(lines)
    assert "errors 0" in text
    assert int(re.search(r"(\d+) answers", text).group(1)) > 12
    early, late = map(float, re.search(r"memory \[MB\]: (\d+) .*?, (\d+)", text).groups())
    assert late - early < 60


def test_each_question_is_worked_out_once_and_the_oldest_is_forgotten(run):
    done = []

    async def ask():
        work = Work(ThreadPoolExecutor(2), remember=2)
        job = lambda name: lambda: done.append(name) or name  # noqa: E731
        same = await asyncio.gather(*(work.get("a", job("a")) for _ in range(9)))
        assert same == ["a"] * 9
        for name in ("b", "a", "c", "a", "b"):
            assert await work.get(name, job(name)) == name

    run(ask())
    assert done == ["a", "b", "c", "b"]


def test_the_wait_for_others_is_told_without_the_computing(run):
    async def ask():
        work = Work(ThreadPoolExecutor(1), remember=2)
        gate = Event()
        first = asyncio.create_task(work.get_with_wait("a", lambda: gate.wait(5) and "a"))
        second = asyncio.create_task(work.get_with_wait("b", lambda: "b"))
        await asyncio.sleep(0.2)
        gate.set()
        (one, alone), (other, queued) = await first, await second
        assert (one, other) == ("a", "b")
        assert alone < queued
        assert queued > 0.1
        assert await work.get_with_wait("a", lambda: "never") == ("a", 0.0)

    run(ask())


def test_an_error_is_told_to_all_and_not_kept(run):
    async def ask():
        work = Work(ThreadPoolExecutor(1), remember=2)

        def fail():
            raise ValueError("no")

        told = await asyncio.gather(
            *(work.get("a", fail) for _ in range(3)), return_exceptions=True
        )
        assert [str(e) for e in told] == ["no"] * 3
        assert await work.get("a", lambda: "yes") == "yes"

    run(ask())


def test_one_who_leaves_does_not_take_the_answer_from_the_others(run):
    async def ask():
        work = Work(ThreadPoolExecutor(1), remember=2)
        gate = asyncio.Event()
        loop = asyncio.get_running_loop()

        def slow():
            asyncio.run_coroutine_threadsafe(gate.wait(), loop).result()
            return "yes"

        first = asyncio.create_task(work.get("a", slow))
        second = asyncio.create_task(work.get("a", slow))
        await asyncio.sleep(0.01)
        first.cancel()
        gate.set()
        assert await second == "yes"

    run(ask())


def test_a_job_whose_process_died_is_tried_again(run):
    class Dying(Executor):
        tries = 0

        def submit(self, fn, /, *args, **kwargs):
            self.tries += 1
            future = Future()
            if self.tries == 1:
                future.set_exception(BrokenProcessPool("gone"))
            else:
                future.set_result(fn(*args, **kwargs))
            return future

    assert run(Work(Dying(), remember=1).get("a", lambda: "yes")) == "yes"


@pytest.mark.slow
def test_a_process_that_dies_is_started_anew():
    processes = Processes(1)
    try:
        with pytest.raises(BrokenProcessPool):
            processes.submit(os._exit, 1).result()
        assert processes.submit(abs, -3).result() == 3
    finally:
        processes.shutdown()


@pytest.mark.slow
def test_processes_answer_as_threads_do(tmp_path, serve, browser):
    import urllib.request

    site = serve(tmp_path, processes=1)
    query = "/api/preview?level=7&volume=10&mixture=base-break"
    with urllib.request.urlopen(site.url + query) as reply:
        assert reply.read() == browser.get(query).body
