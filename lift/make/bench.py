"""Benchmark: ``python -m lift.make.bench``; parts as ratios to one yardstick in the same run.

Searches come last: processor time of all they try, as ratio to one preview.

With the folder of another checkout, ``python -m lift.make.bench ../other``, the main job is timed
in both, turn about, so that whatever else the machine does meets both alike.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np

from lift.model.ensemble import ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.choosing.choose import choose
from lift.practice.goal import Blend, Goal, Lighten
from lift.practice.preview import preview
from lift.practice.window import time_grid

HAIR = Hair(level=7.0, fibre_um="fine", damp=True)
MIXTURE = Mixture("base-break", 10.0)
HOUR = Mixture("cream", 20.0)
"""A mixture that may stay for an hour."""

PREVIEW = ["--level", "7", "--volume", "10", "--minutes", "5", "--mixture", "base-break"]


def best_ms(job: Callable[[], object], repeats: int = 7) -> float:
    """Shortest of several runs [ms]: the least disturbed by whatever else the machine does."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return 1000.0 * min(times)


def cpu_ms(job: Callable[[], object], repeats: int = 5) -> float:
    """Shortest processor time of several runs [ms], which waiting for others does not lengthen."""
    job()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        job()
        times.append(time.process_time() - start)
    return 1000.0 * min(times)


def command_line(*words: str) -> Callable[[], object]:
    """Return a job that runs Python with these words, from a cold start."""
    return lambda: subprocess.run([sys.executable, *words], check=True, capture_output=True)


def yardstick() -> float:
    """Exponentials of a million numbers: the work that colour through time consists of."""
    return float(np.exp(-np.linspace(0.0, 9.0, 1_000_000)).sum())


SEARCHES: dict[str, tuple[Hair, Goal]] = {
    "choose, blend 7.6": (HAIR, Blend(level=7.6)),
    "choose, lighten 9": (Hair(level=6.0), Lighten(level=9.0)),
}


def searches() -> None:
    """Print what a search of the whole grid takes, warm, as ratio to a preview."""
    one = cpu_ms(lambda: preview(HAIR, MIXTURE, 5.0))
    print(f"{'preview, processor':36s} {one:8.1f} ms")
    for name, (hair, goal) in SEARCHES.items():
        took = cpu_ms(partial(choose, hair, goal))
        tried = choose(hair, goal).tried
        print(
            f"{name + ', processor':36s} {took:8.1f} ms {took / one:8.1f} previews, {tried} tried"
        )


IMPORT_BAR = 2.0
"""How many times as long as bare Python a start with ``import lift`` may take."""


def start_ratio(rounds: int = 15) -> float:
    """A cold start with ``import lift`` as ratio to one without, turn about, each at its best."""
    best = [float("inf"), float("inf")]
    for _ in range(rounds):
        for i, words in enumerate(("import lift", "pass")):
            best[i] = min(best[i], best_ms(command_line("-c", words), 1))
    return best[0] / best[1]


def peak_mb(states: int = 1_000_000) -> tuple[float, float]:
    """Most memory that simulating so many states takes at once, and what it keeps [MB]."""
    hair = Hair(level=np.linspace(3.0, 8.0, 1000)[:, None])
    times = np.linspace(0.0, 45.0, states // 1000)
    simulate(hair, HOUR, times[:2])  # what is made once and kept counts for no state
    tracemalloc.start()
    kept = simulate(hair, HOUR, times)
    held, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    del kept
    return peak / 1e6, held / 1e6


WARM = """
import time
from lift import Hair, Mixture, preview
hair, mixture = Hair(7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
def took():
    start = time.perf_counter()
    preview(hair, mixture, 5.0)
    return time.perf_counter() - start
print(min(took() for _ in range(12)))
"""


def against(other: Path, rounds: int = 5) -> None:
    """Print the main job, warm and from a cold start, as ratio to that of another checkout."""
    jobs = {
        "preview, all of it": ("-c", WARM),
        "lift preview, cold start": ("-m", "lift", "preview", *PREVIEW),
    }
    for name, words in jobs.items():
        best = [float("inf"), float("inf")]
        for _ in range(rounds):
            for i, folder in enumerate((Path(__file__).parents[2], other.resolve())):
                start = time.perf_counter()
                done = subprocess.run(
                    [sys.executable, "-P", *words],
                    env={**os.environ, "PYTHONPATH": str(folder)},
                    check=True,
                    capture_output=True,
                    text=True,
                )
                whole = time.perf_counter() - start
                best[i] = min(best[i], float(done.stdout) if words[0] == "-c" else whole)
        here, there = best
        print(
            f"{name:36s} {1e3 * here:8.1f} ms {1e3 * there:8.1f} ms there: {here / there:.2f} times"
        )


def main() -> None:
    """Print each part in milliseconds and in yardsticks."""
    if len(sys.argv) > 1:
        against(Path(sys.argv[1]))
        return
    grid = time_grid()
    jobs: dict[str, Callable[[], object]] = {
        "yardstick: exp of a million": yardstick,
        "simulate, one strand over an hour": lambda: simulate(HAIR, HOUR, grid),
        "ensemble over an hour": lambda: ensemble(HAIR, HOUR, grid),
        "preview, all of it": lambda: preview(HAIR, MIXTURE, 5.0),
        "python, cold start": command_line("-c", "pass"),
        "import lift, cold start": command_line("-c", "import lift"),
        "lift preview, cold start": command_line("-m", "lift", "preview", *PREVIEW),
        "lift tone, cold start": command_line("-m", "lift", "tone", "--lab", "56,10,30"),
        "lift --help, cold start": command_line("-m", "lift", "--help"),
    }
    unit = best_ms(yardstick)
    for name, job in jobs.items():
        took = best_ms(job)
        print(f"{name:36s} {took:8.1f} ms {took / unit:8.1f} yardsticks")
    searches()
    peak, held = peak_mb()
    print(f"{'a million states, memory':36s} {peak:8.1f} MB at most, {held:.1f} MB kept")
    ratio = start_ratio()
    print(f"{'import lift, as ratio to python':36s} {ratio:8.2f} (at most {IMPORT_BAR:g})")
    if ratio > IMPORT_BAR:
        sys.exit(1)


if __name__ == "__main__":
    main()
