"""The benchmark runs, and tells every part and both searches."""

import re

from lift.make import bench


def test_every_part_and_both_searches_are_told(monkeypatch, capsys):
    monkeypatch.setattr(bench.sys, "argv", ["bench"])
    monkeypatch.setattr(bench, "command_line", lambda *_: lambda: None)
    for name in ("best_ms", "cpu_ms"):
        timed = getattr(bench, name)
        monkeypatch.setattr(bench, name, lambda job, timed=timed: timed(job, 1))
    bench.main()
    lines = capsys.readouterr().out.splitlines()
    assert sum("yardsticks" in line for line in lines) == 9
    ratios = dict(
        re.findall(r"^(choose, \w+).* ms +([\d.]+) previews, \d+ tried$", "\n".join(lines), re.M)
    )
    assert set(ratios) == {"choose, blend", "choose, lighten"}
    # A search costs more than one preview, for it asks as much of every mixture.
    assert all(float(ratio) > 1.0 for ratio in ratios.values())
