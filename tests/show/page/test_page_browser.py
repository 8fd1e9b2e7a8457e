"""The page in a real browser: its look, how it asks, and how a device is paired."""

import pytest

from lift.make import bench_page
from lift.show.page.pairing import Pairing

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_look_can_be_chosen_and_stays(tmp_path, serve, visit, theme):
    visitor = visit(serve(tmp_path).url, theme="dark" if theme == "light" else "light")
    page = visitor.open()
    other = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    page.click(".settings summary")
    page.select_option("#theme", theme)
    chosen = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert chosen != other
    page = visitor.open()
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == chosen


def test_stale_answers_are_dropped(served, visit):
    """An older answer that comes late is not shown over a newer one."""
    page = visit(served.url).open()
    shown = page.evaluate(
        """async () => {
          const { Newest } = await import("/static/ask.js");
          const shown = [], asked = [];
          const waits = { a: 3000, b: 10, c: 10 };
          const newest = new Newest(
            (q, { signal }) => new Promise((resolve, reject) => {
              asked.push(q);
              const timer = setTimeout(() => resolve(q), waits[q]);
              signal.addEventListener("abort", () => {
                clearTimeout(timer);
                reject(new DOMException("", "AbortError"));
              });
            }),
            (answer) => shown.push(answer),
            (error) => shown.push(String(error)),
          );
          newest.want("a");
          newest.want("b");
          await new Promise((r) => setTimeout(r, 2100));
          newest.want("c");
          await new Promise((r) => setTimeout(r, 2500));
          return { shown, asked };
        }"""
    )
    assert shown == {"shown": ["c"], "asked": ["a", "c"]}


def test_the_benchmark_pauses_as_the_page_does(served, visit):
    page = visit(served.url).open()
    cases = [[0, 0, 90], [0, 16, 41], [0, 500, 600], [30, 15, 45], [30, 20, 45], [900, 0, 5]]
    cases += [[3000, 40, 80], [4000, 4900, 5000]]
    told = page.evaluate(
        """async (cases) => {
          const { nextPause } = await import("/static/ask.js");
          return cases.map((one) => nextPause(...one));
        }""",
        cases,
    )
    assert told == pytest.approx([bench_page.next_pause(*case) for case in cases])


def test_a_device_is_paired_by_typing_the_code(tmp_path, serve, visit):
    pairing = Pairing()
    site = serve(tmp_path, pairing=pairing)
    visitor = visit(site.url, "phone")
    page = visitor.page
    page.goto(site.url)
    assert page.url.endswith("/pair")
    page.fill("#code", "1234 5678" if pairing.code != "12345678" else "8765 4321")
    page.click("button")
    assert "not the code" in page.inner_text("#wrong")
    page.fill("#code", f"{pairing.code[:4]} {pairing.code[4:]}")
    page.click("button")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.is_visible("#visits-new")
    assert visit(site.url).page.goto(site.url).url.endswith("/pair")
