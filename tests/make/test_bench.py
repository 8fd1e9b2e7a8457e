"""The benchmark runs, and tells every part and both searches."""

import re

import pytest

from lift.make import bench


def test_every_part_and_both_searches_are_told(monkeypatch, capsys):
    of_few_states = bench.peak_mb
    monkeypatch.setattr(bench.sys, "argv", ["bench"])
    monkeypatch.setattr(bench, "command_line", lambda *_: lambda: None)
    for name in ("best_ms", "cpu_ms"):
        timed = getattr(bench, name)
        monkeypatch.setattr(bench, name, lambda job, timed=timed: timed(job, 1))
    monkeypatch.setattr(bench, "peak_mb", lambda: of_few_states(20_000))
    monkeypatch.setattr(bench, "start_ratio", lambda: 1.5)
    bench.main()
    lines = capsys.readouterr().out.splitlines()
    assert sum("yardsticks" in line for line in lines) == 9
    ratios = dict(
        re.findall(r"^(choose, \w+).* ms +([\d.]+) previews, \d+ tried$", "\n".join(lines), re.M)
    )
    assert set(ratios) == {"choose, blend", "choose, lighten"}
    told = re.search(r"^a million .* ([\d.]+) MB at most, ([\d.]+)", "\n".join(lines), re.M)
    assert float(told[1]) > float(told[2]) > 1.0
    assert lines[-1].split()[-4:] == ["1.50", "(at", "most", "2)"]
    # A search costs more than one preview, for it asks as much of every mixture.
    assert all(float(ratio) > 1.0 for ratio in ratios.values())


def test_a_slow_start_fails_the_benchmark(monkeypatch):
    monkeypatch.setattr(bench.sys, "argv", ["bench"])
    for name, value in (("best_ms", 1.0), ("searches", None), ("peak_mb", (2.0, 1.0))):
        monkeypatch.setattr(bench, name, lambda *_, value=value: value)
    monkeypatch.setattr(bench, "start_ratio", lambda: 2.1)
    with pytest.raises(SystemExit):
        bench.main()
