"""The step "The wish", by touch: what each zone is to become, picked on drawn locks."""

import pytest
from playwright.sync_api import expect
from show.page.conftest import kept

from lift.practice.scenario.scenario import read_zone_goal
from lift.practice.scenario.scenario_table import goal_text


def goals(page):
    """Goals of the zones as the server has them, once it has all of it."""
    return [zone.get("goal") for zone in kept(page)["zones"]]


def at_the_wish(visitor):
    """Open a copy of an invented visit at its wish."""
    page = visitor.page
    page.goto(visitor.url)
    page.locator("#visits-demo button", has_text="Blonde refresh").click()
    page.wait_for_selector("#hair-step:not([hidden])")
    page.get_by_role("link", name="Next: The wish").click()
    page.wait_for_selector("#wish-sheet:not([hidden])")
    return page


def pick(page, words):
    """Tap one of a few."""
    page.locator("#wish-sheet").get_by_role("radio", name=words, exact=True).tap()


@pytest.mark.slow
def test_every_wish_is_picked_by_touch_and_shown_before_and_after(served, visit):
    page = at_the_wish(visit(served.url, "phone"))
    assert goals(page)[2:] == [None, None]
    expect(page.locator("#wish-todo")).to_have_text("mid-lengths: what is wanted?")
    locks = page.locator("#wish-locks figcaption")
    expect(locks).to_have_text(["now"])

    pick(page, "lightened")
    assert goals(page)[2] is None
    page.locator("#wish-lighten-level").get_by_role("radio", name="9").tap()
    expect(locks).to_have_text(["now", "lightened", "toned"])
    assert goals(page)[2] == "lighten 9"
    pick(page, "a stage of warmth")
    assert goals(page)[2] == "lighten pale yellow"

    page.get_by_role("button", name="Next: ends").tap()
    expect(page.locator("#wish-zone")).to_have_text("4: ends")
    pick(page, "blended")
    assert goals(page)[3] == "blend"
    pick(page, "mid-lengths")
    pick(page, "the lightest")
    assert goals(page)[3] == "blend lightest blonde of mid-lengths"
    expect(locks).to_have_text(["now", "to blend with"])
    pick(page, "a level")
    page.locator("#wish-blend-level").get_by_role("radio", name="9").tap()
    assert goals(page)[3] == "blend 9"

    pick(page, "matched to a colour")
    assert goals(page)[3] is None
    page.locator("#wish-match-level").get_by_role("radio", name="9").tap()
    match = goals(page)[3]
    assert match.startswith("match ")
    assert read_zone_goal(match).goal.lab[0] == pytest.approx(59.0, abs=6.0)
    expect(locks).to_have_count(2)

    pick(page, "toned only")
    assert goals(page)[3] == "tone"
    pick(page, "left as it is")
    assert goals(page)[3] == "leave"
    expect(page.locator("#wish-words")).to_have_text("left alone")
    expect(page.locator("#wish-todo")).to_have_text("The wish is told")
    # It is there again after a reload, on the lock that was picked.
    page.reload()
    page.locator("#wish-zones .zone").nth(2).tap()
    expect(page.get_by_role("radio", name="9, pale yellow")).to_be_checked()


@pytest.mark.slow
def test_a_wish_that_cannot_be_is_told_beside_it(served, visit):
    page = at_the_wish(visit(served.url, "desktop"))
    page.locator("summary", has_text="Settings").click()
    page.get_by_role("checkbox", name="Exact values").check()
    page.locator("#wish-zones .zone").nth(1).click()
    for part, value in (("warmth", "6"), ("tolerance", "900")):
        page.locator(f"#wish-{part}").fill(value)
        page.locator(f"#wish-{part}").press("Tab")
    expect(page.locator("#wish-goal-error")).not_to_be_empty()
    expect(page.locator("#wish-words")).to_have_class("wish-words stale")
    expect(page.locator("#wish-zones .zone").nth(1)).to_contain_text("something to mend")


TYPED = (
    *("blend", "blend darkest blonde of the ends", "blend 7.6 warmth=6", "leave", "tone 9"),
    *("lighten 9", "lighten pale yellow", "lighten 8.2 tolerance=4", "match 54.1,9,27.5", "tone"),
)


@pytest.mark.slow
def test_goals_are_taken_apart_and_put_together_as_they_are_typed(served, visit):
    page = visit(served.url).page
    page.goto(served.url)
    again = """async (all) => {
      const { readGoal, typeGoal } = await import("/static/goal.js");
      return all.map((text) => typeGoal(readGoal(text)));
    }"""
    assert page.evaluate(again, list(TYPED)) == list(TYPED)
    # What is typed is read, and what was typed without an intent means what it means there.
    for text in TYPED:
        assert read_zone_goal(text)
    short = ["8", "60,5,20", "warmth=6", "8 tolerance=3"]
    assert page.evaluate(again, short) == [goal_text(read_zone_goal(s).goal) for s in short]
