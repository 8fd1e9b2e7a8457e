"""What to use for a visit, over the interface: cards, and what taking one changes."""

from lift.practice.service.plan import plan
from lift.practice.visit.visit_table import visit_of

HAIR = {"natural_level": 7, "fibre": "fine", "damp": True, "along": "regrowth"}
VISIT = {
    "zones": [
        {"name": "base", **HAIR, "goal": "blend 7.6"},
        {"name": "ends", "natural_level": 7, "lightened_to": 9, "along": "ends"},
    ]
}


def test_a_card_says_what_to_do_and_taking_it_can_be_planned(browser):
    got = browser.post("/api/options", {"visit": VISIT}).json
    assert got["open_zones"] == ["base"]
    assert got["untold"] == ["ends"]
    for card in got["options"]:
        assert [zone["zone"] for zone in card["zones"]] == ["base"]
        assert all(card["zones"][0][name] for name in ("mix", "rinse", "tone", "risk", "locks"))
        assert card["cautions"]
        taken = {**VISIT, "mixtures": card["take"]["mixtures"]}
        taken["zones"] = [
            zone | card["take"]["zones"].get(zone["name"], {}) for zone in VISIT["zones"]
        ]
        planned = plan(visit_of(taken).scenario)
        assert abs(planned.p_inside - card["p_inside"]) < 0.005


def test_a_stylist_reads_no_numbers_of_a_laboratory(browser):
    cards = browser.post("/api/options", {"visit": VISIT}).json["options"]
    words = " ".join(str(card["zones"]) for card in cards)
    assert not any(odd in words for odd in ("dE00", "dC*", "um,", "CIELAB", "pH "))


def test_a_visit_without_a_wish_is_refused_in_a_sentence(browser):
    reply = browser.post("/api/options", {"visit": {"zones": []}})
    assert reply.status == 422
    assert "no zone has a wish" in reply.errors[""]
