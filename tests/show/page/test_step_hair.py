"""The step "The hair", by touch: zones on the drawn head, what each is like, the consultation."""

import datetime

import pytest
from playwright.sync_api import expect
from show.page.conftest import kept

pytestmark = pytest.mark.slow


def begin(visitor):
    """Begin a visit from the list."""
    page = visitor.page
    page.goto(visitor.url)
    page.get_by_role("button", name="Begin a visit").click()
    page.wait_for_selector("#hair-step:not([hidden])")
    return page


def unfold(page, key):
    page.locator(f"#zone-{key}-fold > summary").tap()


def test_zones_are_told_by_touch_alone_and_are_there_after_a_reload(served, visit):
    page = begin(visit(served.url, "phone"))
    todo = page.locator("#hair-todo")
    expect(todo).to_have_text("Tap the hair you work on")
    page.get_by_role("button", name="All of the head").tap()
    expect(todo).to_have_text("Tap its natural level")
    assert kept(page)["zones"] == []
    page.get_by_role("radiogroup", name="Natural level").get_by_role("radio", name="7").tap()
    page.locator("#zone-sheet").get_by_role("radio", name="fine", exact=True).tap()
    page.locator("#zone-sheet").get_by_role("radio", name="damp", exact=True).tap()
    unfold(page, "regrowth_mm")
    for _ in range(3):
        page.get_by_role("button", name="Regrowth: a millimetre longer").tap()
    unfold(page, "grey_percent")
    page.get_by_role("radio", name="2 in 10").tap()
    # Further hair of this head begins as alike, and is named by where it lies.
    page.get_by_role("radio", name="ends", exact=True).first.tap()
    page.get_by_role("button", name="front, nothing yet").tap()
    expect(page.locator("#zone-title")).to_have_text("2: front ends")
    unfold(page, "lightened_to")
    page.locator("#zone-sheet").get_by_role("radio", name="yes", exact=True).tap()
    page.get_by_role("radio", name="9, pale yellow").tap()
    unfold(page, "places")
    page.locator("#zone-head").get_by_text("top").tap()
    expected = [
        {
            "name": "regrowth", "natural_level": 7, "fibre": "fine", "damp": True,
            "grey_percent": 20, "regrowth_mm": 3, "along": "regrowth",
            "head": ["front", "top", "sides", "back"],
        },
        {
            "name": "front and top ends", "natural_level": 7, "fibre": "fine", "damp": True,
            "grey_percent": 20, "lightened_to": 9, "along": "ends", "head": ["front", "top"],
        },
    ]  # fmt: skip
    assert kept(page)["zones"] == expected
    page.reload()
    expect(page.locator(".zone")).to_have_count(2)
    expect(page.locator(".zone").last).to_contain_text("lightened before to 9")
    # What is removed takes one press to have again, with all that named it.
    page.get_by_role("button", name="front and top ends").tap()
    page.get_by_role("button", name="Remove front and top ends").tap()
    expect(page.locator(".zone")).to_have_count(1)
    assert kept(page)["zones"] == expected[:1]
    page.get_by_role("button", name="Undo").tap()
    assert kept(page)["zones"] == expected


def test_a_refused_value_stands_beside_its_field_and_what_was_said_greys(served, visit):
    page = begin(visit(served.url, "desktop"))
    page.locator("summary", has_text="Settings").click()
    page.get_by_role("checkbox", name="Exact values").check()
    page.get_by_role("button", name="All of the head").click()
    page.get_by_role("radiogroup", name="Natural level").get_by_role("radio", name="6").click()
    words = page.locator(".zone-words")
    expect(words).to_contain_text("natural level 6")
    box = page.locator("#exact-fibre")
    box.fill("400")
    box.press("Tab")
    expect(page.locator("#exact-fibre-error")).to_contain_text("30 to 130 um")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(words).to_have_class("zone-words stale")
    expect(page.locator("#saved")).to_contain_text("Kept on this device only")
    box.fill("55")
    box.press("Tab")
    expect(words).to_have_class("zone-words")
    assert kept(page)["zones"][0]["fibre"] == 55
    # A name goes with all that has it.
    page.locator("#zone-places-fold > summary").click()
    page.locator("#zone-name").fill("the base")
    page.locator("#zone-name").press("Tab")
    expect(page.locator("#zone-title")).to_have_text("1: the base")
    assert kept(page)["zones"][0]["name"] == "the base"


def test_the_consultation_says_why_and_stops(served, visit):
    page = begin(visit(served.url, "phone"))

    def answer(question, words):
        asked = page.get_by_role("radiogroup", name=question)
        asked.get_by_role("radio", name=words, exact=True).tap()

    asthma = page.locator('[data-question="asthma"]')
    why = asthma.get_by_role("button", name="Why, and what it changes")
    expect(asthma.get_by_text("main cause of hairdressers' asthma")).to_be_hidden()
    why.tap()
    expect(asthma.get_by_text("main cause of hairdressers' asthma")).to_be_visible()
    expect(asthma.get_by_text("Yes: no powder.")).to_be_visible()
    answer("Asthma?", "Yes")
    answer("Allergy test", "3 days ago")
    answer("How is the scalp?", "Sound")
    before = page.locator('[data-question="before"]')
    before.get_by_label("Nothing", exact=True).tap()
    before.get_by_label("Henna", exact=True).tap()
    stops = page.locator("#asked-stops li")
    expect(stops).to_have_count(2)
    expect(stops.first).to_contain_text("nothing is mixed")
    # Henna asks for a bowl, which lifts the stop when it stays calm.
    answer("A few cut hairs in a bowl of peroxide", "Stay calm")
    expect(stops).to_have_count(1)
    found = kept(page)
    day = datetime.date.fromisoformat(found["visit"]["date"]) - datetime.timedelta(days=3)
    assert found["consultation"] == {
        "allergy_test": day.isoformat(),
        "scalp": "sound",
        "asthma": "yes",
        "before": ["henna"],
        "bowl_test": "calm",
    }


def test_earlier_steps_are_there_for_who_opens_a_later_one(served, visit):
    visitor = visit(served.url, "phone")
    visitor.begin("blonde-refresh", "after")
    for step, told in (("wish", "#wish-step"), ("hair", "#hair-step .zone")):
        visitor.page.tap(f'#way a[data-step="{step}"]')
        expect(visitor.page.locator(told).first).to_be_visible()
    expect(visitor.page.locator(".zone").first).to_contain_text("foils")
