"""The tone of a zone over the interface: every dose that can be dragged to comes in one answer."""

import pytest

FOILS = {"name": "foils", "natural_level": 6, "mixture": "light", "minutes": 25, "goal": "tone"}
VISIT = {
    "visit": {"name": "a", "date": "2026-11-27"},
    "salon": {"light": "bulb"},
    "mixtures": {"light": {"kind": "powder", "volume": 20}},
    "zones": [FOILS],
}


def ask(browser, visit=VISIT, **more):
    return browser.post("/api/tone?shown=true", {"visit": visit, "zone": "foils"} | more)


def test_every_dose_is_shown_by_daylight_and_in_the_salon(browser):
    got = ask(browser, seen="9").json
    shown, answer = got["shown"], got["answer"]
    assert shown["answer"] == "tone"
    assert shown["now"]["words"] == "level 9.0, as it was seen"
    assert shown["why"] == (
        "It answers yellow, towards natural hair as light as it ends. Violet, which the wheel "
        "says, would leave it red when the yellow is gone: hair keeps back blue light already."
    )
    doses = shown["doses"]
    best = doses[shown["best"]]
    assert shown["chosen"] == shown["best"]
    assert best["words"].endswith("violet, 1 part to 21")
    assert best["toner"]["doses"] == pytest.approx(answer["neutralise"]["doses"], abs=1e-3)
    assert [d["look"] for d in (doses[0], best, doses[-1])] == [
        "still warm, yellow",
        "looks natural",
        "past neutral, blue-violet cast",
    ]
    assert doses[0]["toner"] is None
    assert len({d["daylight"] for d in doses}) == len({d["light"] for d in doses}) == len(doses)
    assert all(d["daylight"] != d["light"] for d in doses)
    # As the other light's own answer has it.
    assert (shown["light"], len(shown["lights"])) == ("bulb", 6)
    assert shown["light_words"] == "Under warm bulbs it looks as warm as by daylight."
    assert "A" not in answer["other_light"]["turns_warm"]
    dark = VISIT | {"zones": [FOILS | {"natural_level": 3}]}
    orange = ask(browser, dark, seen="7").json
    # What a lamp adds to a whole answer shows nowhere; all are held to one allowance.
    assert orange["shown"]["light_words"] == shown["light_words"]
    assert orange["answer"]["other_light"]["turns_warm"] == []
    assert (
        orange["answer"]["other_light"]["allowance"] == orange["answer"]["shows"]["warm"]["value"]
    )
    assert ask(browser, seen="9", light="daylight").json["shown"]["light"] == "daylight"


def test_what_a_toner_becomes_has_a_day_that_follows_from_how_often_hair_is_washed(browser):
    faded = [
        ask(browser, VISIT | {"assumptions": {"washes_per_week": often}}, seen="9").json["shown"]
        for often in (3.5, 7.0)
    ]
    rows = [[(m["what"], m["washes"], m["day"]) for m in shown["fade"]] for shown in faded]
    assert [row[-1] for row in rows] == [("faded", 7.0, "2026-12-11"), ("faded", 7.0, "2026-12-04")]
    lasting = {**FOILS, "toner": {"kind": "permanent"}}
    shown = ask(browser, VISIT | {"zones": [lasting]}, seen="9").json["shown"]
    assert shown["kind"] == "permanent"
    assert shown["fade"][-1]["what"] == "year"
    assert any("5 to 10 vol" in line for line in shown["steps"])


def test_no_number_of_a_laboratory_is_said_to_who_did_not_ask_for_one(browser):
    far = VISIT | {"zones": [FOILS | {"goal": "match 40,30,10"}]}
    for visit, seen in ((VISIT, "9"), (VISIT, "6"), (VISIT, "60,-3,-8"), (far, "9"), (VISIT, None)):
        shown = ask(browser, visit, seen=seen).json["shown"]
        said = [shown["why"], shown["now"]["words"], shown["light_words"], *shown["steps"]]
        said += [d[key] for d in shown["doses"] for key in ("words", "look")]
        text = " ".join(said)
        assert not any(unit in text for unit in ("dE00", "dC*", "L*", "a*", "degrees", " um"))


@pytest.mark.parametrize(
    ("more", "field", "message"),
    [
        ({"zone": "base"}, "zone", "zone 'base'"),
        ({"seen": "4"}, "seen", "darker than the hair was before"),
        ({"seen": "light"}, "seen", "'light'"),
        ({"light": "candle"}, "light", "'candle'"),
        ({"visit": VISIT | {"zones": [FOILS | {"natural_level": 12}]}}, "zones[0].natural_level",
         "12"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_at_its_field(browser, more, field, message):
    got = ask(browser, **more)
    assert got.status == 422
    assert message in got.errors[field]
