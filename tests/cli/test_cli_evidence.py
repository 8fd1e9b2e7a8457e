"""`lift evidence`."""

import json
import re

from lift.model.curves import default_curves
from lift.model.strand import ABSORBERS
from lift.research.evidence.checks import STANDINGS


def test_prints_every_check_by_its_standing(lift):
    code, out, err = lift("evidence")
    lines = out.splitlines()
    held = [line for line in lines if line.startswith("  holds")]
    typed = [line for line in lines if line.startswith("  built in")]
    counted = held + [line for line in lines if line.startswith("  FAILS")]
    checks = counted + typed
    assert (code, err) == (int(len(held) < len(counted)), "")
    for word in ("source", "expected", "got"):
        assert sum(line.strip().startswith(word) for line in lines) == len(checks)
    counts = re.findall(r"^(\S.*?): (\d+) of (\d+) hold\. ", out, re.M)
    assert re.search(rf"^Built in: {len(typed)}\. ", out, re.M)
    assert sum("  finding  " in line for line in lines) == 5
    assert [name.split(":")[0] for name, _, _ in counts] == [
        *("Measured and not fitted", "Measured and fitted", "Practice and fitted"),
        *("Practice and left out", "Apart"),
    ]
    assert sum(int(passed) for _, passed, _ in counts) == len(held)
    assert all(int(count) > 0 for _, _, count in counts)
    told = [
        int(n) for n in re.findall(r"\d+", " ".join(out.split("Of ", 1)[1].split(".")[0].split()))
    ]
    sizes = [int(count) for _, _, count in counts]
    fitted = sizes[1] + sizes[2]
    assert told == [len(checks), sizes[0], fitted, len(typed), sizes[4], sizes[3]]
    assert re.search(rf"^All +{len(held)} of {len(counted)} hold", out, re.M)


def test_says_where_dye_bands_lie_and_what_hangs_on_it(lift):
    _, out, _ = lift("evidence")
    _, bands = out.split("Dye bands: ")
    bands, _ = bands.split("What the model cannot say")
    assert "  violet 554 nm (published): indoaniline 554 nm" in bands
    assert "but from memory, Acid Violet 43 571 nm" in " ".join(bands.split())
    rows = [line for line in bands.splitlines() if re.match(r"\S.* 1[05] nm ", line)]
    assert len(rows) == 14
    same, count, kept = map(int, re.search(
        r"Of (\d+) answers with another band (\d+) .*? and (\d+) have", " ".join(bands.split())
    ).groups())  # fmt: skip
    assert same == 4 * len(rows)
    assert kept >= count > same // 2


def test_ends_with_what_the_model_cannot_say(lift):
    _, out, _ = lift("evidence")
    _, end = out.split("What the model cannot say\n")
    assert end.startswith("  The chroma of lightened hair: we have read no measurement.")
    chroma = [int(n) for n in re.findall(r"C\* (\d+) with", end)]
    assert len(chroma) == len(ABSORBERS)
    assert max(chroma) > 1.3 * min(chroma)


def test_json_and_exit_code_with_a_bad_curve_set(lift, tmp_path):
    path = tmp_path / "warm.toml"
    default_curves().replace(lightening_rate=0.5).save(path)
    code, out, _ = lift("evidence", "--json", "--curves", path)
    assert code == 1
    rows = json.loads(out)
    keys = {"name", "kind", "source", "expected", "got", "passed", "fitted", "code"}
    assert set(rows[0]) == keys | {"standing", "standing_code"}
    assert {row["code"]["code"] for row in rows if "finding" in row} >= {"evidence.wheel_rule.name"}
    assert {row["standing_code"] for row in rows} == set(STANDINGS)
    assert not all(row["passed"] for row in rows)


def test_what_does_not_hold_is_said_and_counted(lift, tmp_path):
    path = tmp_path / "light.toml"
    default_curves().replace(surface_reflectance=0.05).save(path)
    code, out, _ = lift("evidence", "--curves", path)
    assert code == 1
    assert "  FAILS  another black tress" in out
    assert re.search(r"^Measured and not fitted: 0 of \d hold|: 1 of \d hold", out, re.M)
