"""A colour from a photograph, on a phone: by touch alone, and by the keyboard."""

import numpy as np
import pytest
from playwright.sync_api import expect
from show.page.conftest import kept

from lift.make.photograph import Scene, as_jpeg, photograph, some_hair
from lift.photo.measure import measure
from lift.practice.trial.observation import observation

pytestmark = pytest.mark.slow

ZONE = {"name": "ends", "natural_level": 4, "lightened_to": 7, "goal": "tone"}
BEGIN = """async (zone) => {
  const ask = async (method, path, body) => (await fetch(path, {
    method, body: JSON.stringify(body), headers: { "Content-Type": "application/json" },
  })).json();
  const { visit, revision } = await ask("POST", "/api/visits", {});
  visit.zones = [zone];
  const { name } = visit.visit;
  await ask("PUT", `/api/visits/${name}`, { visit, revision });
  return name;
}"""


@pytest.fixture(scope="module")
def taken(tmp_path_factory):
    """A computed photograph, and the file of it."""
    found = photograph(Scene(some_hair(1, seed=3)[0], noise=0.002, tilt=0.02, seed=1))
    path = tmp_path_factory.mktemp("photo") / "photo.jpg"
    path.write_bytes(as_jpeg(found.pixels, 95))
    return found, path


def choose(page, path):
    page.set_input_files("#photo-file", path)
    expect(page.locator("#photo-todo")).to_contain_text("dark brown")
    board = page.locator("#photo-board")
    box = board.bounding_box()
    scale = box["width"] / board.evaluate("board => board.querySelector('canvas').width")
    assert scale == pytest.approx(1.0, abs=0.01)
    to_screen = box["width"] / 360
    return lambda place: (box["x"] + place[0] * to_screen, box["y"] + place[1] * to_screen)


def test_a_photograph_is_measured_by_touch(served, visit, taken):
    found, path = taken
    page = visit(served.url, "phone").page
    page.goto(served.url)
    page.wait_for_selector("html[data-ready]", state="attached")
    name = page.evaluate(BEGIN, ZONE)
    page.goto(f"{served.url}/#{name}/tone")
    expect(page.locator("#tone-now-words")).not_to_be_empty()
    page.click("#tone-now summary")
    page.click("#tone-now .photo-button")
    # Asked before it is taken: whom it shows, and what becomes of it.
    asked = page.locator("#photo-take .photo-cautions")
    expect(asked).to_contain_text("ask before you take it")
    expect(asked).to_contain_text("not kept unless")
    assert page.get_attribute("#photo-camera", "capture") == "environment"

    at = choose(page, path)
    for corner, next_said in zip(
        found.chart, ("turquoise", "black", "white", "Do the squares"), strict=True
    ):
        expect(page.locator("#photo-next")).to_be_hidden()
        page.touchscreen.tap(*at(corner))
        expect(page.locator("#photo-todo")).to_contain_text(next_said)
    # One is dragged off under the loupe, and moved back by the keyboard.
    x, y = at(found.chart[2])
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 10, y, steps=2)
    expect(page.locator(".photo-loupe")).to_be_visible()
    page.mouse.up()
    page.keyboard.press("Shift+ArrowRight")
    for box in page.locator(".photo-handle").all():
        assert min(box.bounding_box()["width"], box.bounding_box()["height"]) >= 44
    page.click("#photo-next")

    (left, top), (right, bottom) = found.hair[0]
    hair = [(left + 4, top + 4), (right - 4, bottom - 4)]
    page.mouse.move(*at(hair[0]))
    page.mouse.down()
    page.mouse.move(*at(hair[1]), steps=3)
    page.mouse.up()
    page.click("#photo-next")
    expect(page.locator("#photo-words")).to_contain_text("nine in ten")
    expect(page.locator("#photo-left-out")).to_contain_text("left out")
    expect(page.locator("#photo-locks figure")).to_have_count(3)
    page.check("#photo-keep")
    page.click("#photo-use")
    expect(page.locator("#photo")).to_be_hidden()

    (seen,) = kept(page)["came_out"]
    assert (seen["zone"], seen["instrument"]) == ("ends", True)
    known = measure(path, found.chart, np.array(hair))
    told = observation(0, seen["seen"])
    assert told.reading == "photograph"
    # Fingers are off by less than a pixel of the screen.
    np.testing.assert_allclose(told.lab, known.lab, atol=0.5)
    np.testing.assert_allclose(told.lab_sd, known.sd, atol=0.3)
    expect(page.locator("#tone-now-words")).to_contain_text("as it was measured")

    page.goto(f"{served.url}/#{name}/after")
    expect(page.locator("#after-kept img")).to_have_count(1)
    page.click("#after-kept button")
    expect(page.locator("#after-pictures")).to_be_hidden()


def test_what_cannot_be_measured_is_told_and_mended(served, visit, taken, tmp_path):
    found, path = taken
    page = visit(served.url, "phone").page
    page.goto(served.url)
    page.wait_for_selector("html[data-ready]", state="attached")
    name = page.evaluate(BEGIN, ZONE)
    page.goto(f"{served.url}/#{name}/hair")
    page.click("#zone-lightened_to-fold summary")
    page.click("#zone-lightened_to-fold .photo-button")
    raw = tmp_path / "photo.dng"
    raw.write_bytes(b"II*\0")
    page.set_input_files("#photo-file", raw)
    expect(page.locator("#photo-error")).to_contain_text("JPEG")

    # By the keyboard alone: where the corners begin there is no chart.
    choose(page, path)
    page.focus("#photo-board")
    for _ in range(4):
        page.keyboard.press("Enter")
        page.focus("#photo-board")
    page.click("#photo-next")
    page.focus("#photo-board")
    page.keyboard.press("Enter")
    page.click("#photo-next")
    expect(page.locator("#photo-refused")).not_to_be_empty()
    expect(page.locator("#photo-use")).to_be_hidden()

    # Taken again, it gives the level that this hair was lightened to.
    page.click("#photo-again")
    at = choose(page, path)
    for corner in found.chart:
        page.touchscreen.tap(*at(corner))
    page.click("#photo-next")
    page.touchscreen.tap(*at(found.hair[0].mean(axis=0)))
    page.click("#photo-next")
    page.click("#photo-use")
    level = measure(path, found.chart, found.hair[0]).level
    (zone,) = kept(page)["zones"]
    assert zone["lightened_to"] == pytest.approx(max(level, 1.0), abs=0.2)
    assert page.evaluate("document.activeElement.className") == "photo-button"
