"""The page in a real browser: its look, how it asks, and how a device is paired."""

import pytest
from playwright.sync_api import expect

from lift.make import bench_page
from lift.show.page.pairing import Pairing, grouped

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
    # An earlier page kept the word as it is.
    page.evaluate("theme => localStorage.setItem('lift.theme', theme)", theme)
    page.reload()
    assert page.input_value("#theme") == theme


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
    pairing = Pairing(tmp_path)
    code = pairing.renew()
    site = serve(tmp_path, pairing=pairing)
    visitor = visit(site.url, "phone")
    page = visitor.page
    page.goto(site.url)
    assert page.url.endswith("/pair")
    page.fill("#code", grouped(code[::-1][:11]))
    page.click("button")
    assert "not the code" in page.inner_text("#wrong")
    page.fill("#code", grouped(code))
    page.click("button")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.is_visible("#visits-new")
    page.click(".settings summary")
    page.click(".settings a")
    page.click("form button")
    page.wait_for_url("**/pair")
    assert visit(site.url).page.goto(site.url).url.endswith("/pair")


FILL = """async (name) => {
  const page = document.querySelector("script[src]").src;
  const { keep, keysOf } = await import(new URL("store.js", page));
  const large = "x".repeat(3000);
  for (const key of ["clock.a1", `clock.${name}`, "use.a1", "theme"]) {
    localStorage.setItem(`lift.${key}`, JSON.stringify({ large }));
  }
  localStorage.setItem("lift.visit.lacks", JSON.stringify({ dirty: true, large }));
  let block = "x".repeat(2 ** 20);
  for (let i = 0; block; i++) {
    try {
      localStorage.setItem(`full${i}`, block);
    } catch {
      block = block.slice(0, block.length / 2);
    }
  }
  const before = JSON.parse(localStorage.getItem(`lift.visit.${name}`));
  const fits = keep(`lift.visit.${name}`, { ...before, more: large + large.slice(500) });
  return [fits, keysOf("lift.").filter((key) => key.split(".").length > 2).sort()];
}"""


def test_a_full_store_makes_room_of_copies_and_a_deleted_visit_leaves_nothing(
    tmp_path, serve, visit
):
    visitor = visit(serve(tmp_path).url)
    name = visitor.begin("blonde-refresh", "wish")
    page = visitor.page
    fits, left = page.evaluate(FILL, name)
    # Copies of another visit made the room; what is of the same one, or lacks at the server, stays.
    assert fits
    assert left == sorted([f"lift.clock.{name}", "lift.visit.lacks", f"lift.visit.{name}"])
    visitor.open()
    page.locator("#visits-own").get_by_role("button", name="Delete the visit").click()
    page.get_by_role("button", name="Delete for good").click()
    expect(page.locator("#visits-none")).to_be_visible()
    assert not [key for key in page.evaluate("Object.keys(localStorage)") if key.endswith(name)]
