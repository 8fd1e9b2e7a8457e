"""`lift swatches plan`."""

import json

import pytest


def test_prints_the_protocol_and_what_it_would_settle(answered):
    said = answered("swatches", "plan")
    for head in ("Hair", "Mixture", "Times", "Rinse", "Measure", "Fibre", "Safety"):
        assert f"\n{head} " in said
    assert "never on a head" in said
    assert "half_oxidised_slope" in said
    assert "C* of red hair lightened to L* 50" in said
    assert "Wear gloves" in said
    assert "not measured" in said.splitlines()[-1]


def test_writes_a_file_to_fill_in_and_never_over_another(lift, answered, refused, tmp_path):
    path = tmp_path / "series.csv"
    said = answered("swatches", "plan", "-o", path, "--tresses", "1", "--minutes", "15,30")
    assert f"To be filled in: {path}" in said
    assert "lift tune series.csv" in said
    rows = [line for line in path.read_text("utf-8").splitlines() if line[0] != "#"]
    assert len(rows) == 1 + 2 * 3
    code, out, _ = lift("swatches", "check", path, "--json")
    assert code == 2
    assert {fault["column"] for fault in json.loads(out)["faults"]} == {"L", "a", "b"}
    assert "may hold readings" in refused("swatches", "plan", "-o", path)


def test_json_says_what_is_typed(answered):
    asked = ("--mixture", "cream", "--volume", "40", "--parts", "1.5", "--repeats", "10")
    found = json.loads(answered("swatches", "plan", *asked, "--json"))
    assert (found["kind"], found["volume"], found["developer_parts"]) == ("cream", 40.0, 1.5)
    assert found["repeats"] == 10.0
    assert found["minutes"] == [0.0, 5.0, 10.0, 20.0, 30.0, 45.0]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("--volume", "70"), "12 % H2O2"),
        (("--minutes", "5,200"), "200 min"),
        (("--minutes", "0"), "at least one time"),
        (("--tresses", "none"), "tresses of each hair"),
        (("--mixture", "paste"), "paste"),
        (("-o", "series.txt"), "does not end in .csv"),
    ],
)
def test_refusals_are_one_line(refused, typed, says):
    assert says in refused("swatches", "plan", *typed)
