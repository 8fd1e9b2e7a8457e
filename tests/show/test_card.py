"""The card: one page, self-contained, with what the chair needs."""

import re
import shutil
import unicodedata
from dataclasses import replace
from functools import partial
from itertools import pairwise
from pathlib import Path

import pytest
from markupsafe import escape

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS
from lift.practice.overprocessing import overprocessed
from lift.practice.scenario.scenario_file import load_scenario, parse_scenario
from lift.practice.service.plan import plan
from lift.practice.visit.next_date import proposal
from lift.practice.visit.toned_visit import toned_visit
from lift.practice.visit.visit_table import visit_of
from lift.show.card import printing
from lift.show.card.html import LETTERS, card_html
from lift.show.card.timeline import LEFT, LETTER, MOST_ROWS, WIDTH, timeline
from lift.show.card.toned import toned_card_html
from lift.show.said_plan import first_notes, total_note
from lift.show.said_tone import why_note
from lift.words import note, plainly, say, says

DEMO = "shared/blonde_refresh.toml"
DEMOS = [
    DEMO,
    "shared/darker_base.toml",
    "shared/fine_and_coarse.toml",
    "shared/grey_blending.toml",
]


@pytest.fixture(scope="module")
def refresh():
    return plan(load_scenario(DEMO))


@pytest.fixture(scope="module")
def many(tmp_path_factory):
    text = Path(DEMO).read_text("utf-8")
    path = tmp_path_factory.mktemp("many") / "many.toml"
    text = text.replace("sections = 12", "sections = 120").replace("_section = 55", "_section = 5")
    path.write_text(text.replace('title = "', 'title = "<b>&</b> '), "utf-8")
    return plan(load_scenario(path))


def test_asks_nothing_of_anybody(refresh):
    html = card_html(refresh)
    assert "default-src 'none'" in html
    own = html.replace("url(#", "")
    for word in ("http:", "https:", "src=", "href=", "url(", "@import", "<script", "<link"):
        assert word not in own


def test_grey_is_told_as_two_kinds_of_hair(refresh):
    html = card_html(plan(load_scenario(DEMOS[-1]), members=20))
    assert html.count("the pigmented fibres decide; 35 % are white") == 2
    assert "which the tone tints blue-violet" in html
    assert html.count("<figcaption>pigmented fibres</figcaption>") == 2
    assert "igmented fibres" not in card_html(refresh)


def test_numbers_of_colorimetry_stay_with_those_who_ask_for_them(refresh):
    for visit in (refresh, plan(load_scenario(DEMOS[-1]), members=20)):
        text = re.sub(r"<svg.*?</svg>|<style>.*?</style>", "", card_html(visit), flags=re.DOTALL)
        assert not re.search(r"dE00|dC\*|L\*|a\*|b\*|CIELAB", text)


def test_a_visit_has_its_client_and_day(refresh):
    html = card_html(refresh, client="qf4-mk7", date="2026-11-27")
    assert "<b>qf4-mk7</b>" in html
    assert "<b>2026-11-27</b>" in html
    assert html.count("____") == 0 < card_html(refresh).count("____")


def test_holds_what_the_chair_needs(refresh):
    html = card_html(refresh)
    for line in refresh.cautions:
        assert str(line).replace("'", "&#39;") in html
    told = html[html.index(say("card.tell")) :]
    found = proposal(refresh.next_visit)
    assert str(note("next.proposed", weeks=found.weeks, why=found.why[:2])) in told
    assert told.index("scalp hurts") < told.index("takes some of the toner") < told.index("Next")
    for zone in refresh.zones:
        assert f"{zone.bowl.product_grams:.0f} g" in html
        with plainly():
            told = says(first_notes(zone, refresh).values())
        places = [html.index(said.replace("'", "&#39;")) for said in told]
        assert places == sorted(places)
        assert f"level {zone.level:.1f}" in html
        assert len(re.findall(rf">{zone.zone.name} \d", html)) == len(zone.sections)
    assert html.count("RINSE") == sum(step.kind == "rinse" for step in refresh.steps)


def test_what_is_special_stands_first_and_apart_and_what_is_known_last(refresh):
    known = overprocessed(Hair(6.0, lightened_to=9.0), Mixture("powder", 20.0), [10.4])[-1]
    html = card_html(replace(refresh, cautions=(known, *refresh.cautions)))
    box = html[html.index('<section class="cautions"') :]
    special, standing = (box[: box.index("</section>")]).split("</ul>")[:2]
    assert special.count("<li>") == len(refresh.cautions) - len(ALWAYS) > 0
    assert "Persulfate" in special
    assert standing.count("<li>") == len(ALWAYS)
    assert html.index("Known of damage") > html.index(say("card.tell"))


def test_water_is_told_below_what_is_done(refresh):
    wet = replace(refresh, water=(note("text", text="water & here"),))
    html = card_html(wet)
    assert html.index("Then tone") < html.index("water &amp; here") < html.index("Sections against")


def test_a_bowl_that_does_not_serve_all_says_so():
    failing = plan(load_scenario("shared/darker_base.toml"), members=10)
    (zone,) = failing.zones
    assert "one bowl serves 1 of 8 sections" in card_html(failing)
    enough = replace(zone, bowl=replace(zone.bowl, serves=8))
    assert "one bowl serves" not in card_html(replace(failing, zones=(enough,)))


def test_a_failing_plan_says_what_to_change():
    failing = plan(load_scenario("shared/darker_base.toml"))
    assert not failing.exists
    html = card_html(failing)
    assert "NO ORDER KEEPS ALL INSIDE" in html
    assert html.count("Try (") == min(3, sum(c.works for c in failing.changes)) > 0


def test_text_of_a_file_stays_text(many):
    html = card_html(many)
    assert "<b>&</b>" not in html
    assert "&lt;b&gt;&amp;&lt;/b&gt;" in html


def test_time_line_is_to_scale(refresh):
    line = timeline(refresh)
    section = refresh.zones[0].sections[0]
    row = line.rows[0]
    scale = WIDTH / refresh.total_minutes
    assert row.lay_x == pytest.approx(LEFT + section.starts * scale)
    assert row.bar_x + row.bar_w == pytest.approx(LEFT + section.rinsed * scale)
    start, width = next((x, w) for place, x, w in row.boxes if place == "inside")
    assert start == pytest.approx(LEFT + (section.starts + section.opens) * scale)
    assert start + width <= LEFT + WIDTH + 1e-6
    assert all(r.bar_x + r.bar_w <= LEFT + WIDTH + 1e-6 for r in line.rows)
    assert line.left_out == 0


def test_many_sections_still_fit_a_page(many):
    line = timeline(many)
    assert len(line.rows) <= MOST_ROWS[1] + 2
    assert line.left_out == sum(len(z.sections) for z in many.zones) - len(line.rows)
    foils = many.zones[0].sections
    weakest = min(foils, key=lambda s: s.p_inside).number
    labels = {row.label for row in line.rows}
    name = many.zones[0].zone.name
    assert {f"{name} {n}" for n in (1, len(foils), weakest)} <= labels
    assert f"{line.left_out} more sections" in card_html(many)


def test_papers(refresh):
    assert "size: A4" in card_html(refresh)
    assert "size: letter" in card_html(refresh, "Letter")
    with pytest.raises(LiftError, match="A4, Letter"):
        card_html(refresh, "A3")


def test_html_from_the_command_line(answered, tmp_path):
    target = tmp_path / "card.html"
    answered("card", DEMO, "-o", str(target))
    assert target.read_text("utf-8").startswith("<!doctype html>")
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((DEMO, "-o", "card.txt"), ".txt"),
        ((DEMO, "-o", "nowhere/card.html"), "nowhere"),
        ((DEMO, "-o", "card.html", "--paper", "A5"), "A5"),
        (("missing.toml", "-o", "card.html"), "missing.toml"),
    ],
)
def test_bad_input_is_one_line(refused, words, told):
    assert told in refused("card", *words)


def test_without_a_browser_html_is_offered(monkeypatch, refused, tmp_path):
    monkeypatch.setattr(printing.shutil, "which", lambda name: None)
    target = tmp_path / "card.pdf"
    assert ".html" in refused("card", DEMO, "-o", str(target))
    assert not target.exists()


def test_a_browser_that_fails_leaves_nothing(monkeypatch, tmp_path):
    monkeypatch.setattr(printing, "find_browser", lambda: shutil.which("false"))
    with pytest.raises(LiftError, match="could not print"):
        printing.print_card("<p>", tmp_path / "card.pdf", "A4")
    monkeypatch.setattr(printing, "find_browser", lambda: shutil.which("true"))
    with pytest.raises(LiftError, match="printed nothing"):
        printing.print_card("<p>", tmp_path / "card.pdf", "A4")
    assert not list(tmp_path.iterdir())


def with_a_crown(zones):
    """Text of the demo with its first zones again on another part: three zones, or four."""
    text = Path(DEMO).read_text("utf-8").replace('rinse = "together"', 'rinse = "zone by zone"')
    head, *each = text.split("[[zones]]\n")
    more = [
        zone.replace('name = "', 'name = "crown ').replace('part = "regrowth"', 'part = "crown"')
        for zone in each[: zones - 2]
    ]
    return "[[zones]]\n".join([head, *each[:2], *more, *each[2:]])


RED, GREY = "\nred = 0.4", "\ngrey_percent = 40"
HARD = {
    "foils and base": (Path(DEMO).read_text("utf-8"), ""),
    "failing": (Path(DEMOS[1]).read_text("utf-8"), ""),
    "red": (Path(DEMOS[2]).read_text("utf-8"), RED),
    "grey and red": (Path(DEMOS[3]).read_text("utf-8"), RED),
    "three, grey": (with_a_crown(3), GREY),
    "four, grey and red": (with_a_crown(4), GREY + RED),
}
"""What fills a card: text of a scenario, and more about the hair."""

TONED = {"one zone toned": 1, "eight zones toned": 8}
"""Zones of a card that tones and lightens nothing."""


def toned(zones, **more):
    """A visit whose zones are toned and nothing else, in turn two kinds of toner; invented."""
    rows = [
        {
            "name": f"lengths {i + 1}",
            "natural_level": 6,
            "lightened_to": 9.8 - 0.2 * i,
            "goal": "tone",
            "toner": {"kind": ("permanent", "direct")[i % 2]},
        }
        for i in range(zones)
    ]
    head = {"name": "k7f-m3q", "client": "qf4-mk7", "date": "2026-11-27"}
    return toned_visit(visit_of({"visit": head, "zones": rows, **more}), default_curves())


def card_of(name):
    """Make the card of a name for a paper."""
    if name in TONED:
        return partial(toned_card_html, toned(TONED[name]))
    text, more = HARD[name]
    visit = plan(parse_scenario(text.replace("[hair]", f"[hair]{more}", 1)), members=10)
    return partial(card_html, visit)


def test_a_visit_that_is_only_toned_has_a_card():
    found = toned(2)
    html = toned_card_html(found)
    assert "<b>qf4-mk7</b>" in html
    assert "<b>2026-11-27</b>" in html
    with plainly():
        for tone in found.tones:
            step = tone.step(tone.chosen)
            told = [say(why_note(tone)), *says(step.lines.values())]
            # Whatever both zones are told stands in the part of each.
            part = html[html.index(f"<h2>{tone.zone.name}: ") :]
            places = [part.index(str(escape(said))) for said in told]
            assert places == sorted(places)
    assert html.count("<figcaption>before</figcaption>") == 2
    assert html.count("<figcaption>toned</figcaption>") == 2
    assert "usually 5 to 10 vol" in html
    assert "level 9.8, as before the service" in html
    for each in found.cautions:
        assert str(escape(each)) in html
    assert "tone lengths 1, off 21:00" in html
    back = note("next.proposed", weeks=found.again.weeks, why=found.again.why[:2])
    assert html.index(say("card.tell")) < html.index("Each wash takes") < html.index(str(back))
    assert "windows" not in html.partition("</style>")[2]


def test_what_is_the_same_of_many_toners_stands_once():
    few, many = toned_card_html(toned(1)), toned_card_html(toned(8))
    assert few.count("until the water runs clear") == many.count("until the water runs clear") == 1


LOOK = """() => {
  const found = { clipped: [], least: 99, bottom: 0 };
  for (const each of document.querySelectorAll("body *")) {
    const box = each.getBoundingClientRect();
    found.bottom = Math.max(found.bottom, box.bottom);
    if (box.left < -0.5 || box.right > innerWidth + 0.5) found.clipped.push(each.textContent);
    if (each.scrollWidth > each.clientWidth + 1 && each.clientWidth && !each.ownerSVGElement)
      found.clipped.push(each.textContent);
    if (![...each.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim())) continue;
    const drawn = each.ownerSVGElement ? each.getScreenCTM().a : 1;
    found.least = Math.min(found.least, 0.75 * drawn * parseFloat(getComputedStyle(each).fontSize));
  }
  return found;
}"""


@pytest.fixture(scope="module")
def paper_page(chromium):
    page = chromium.new_page()
    yield page
    page.close()


@pytest.mark.slow
@pytest.mark.parametrize("name", [*HARD, *TONED])
def test_one_page_on_either_paper_with_nothing_clipped(tmp_path, paper_page, name):
    from pypdf import PdfReader

    make = card_of(name)
    steps = make("A4").count("<li><b>")
    for paper, (width, height) in printing.PIXELS.items():
        # Margins of 10 and 8 mm, at 96 pixels an inch.
        size = {"width": round(width - 75.6), "height": round(height - 60.5)}
        paper_page.set_viewport_size(size)
        paper_page.emulate_media(media="print")
        paper_page.set_content(make(paper))
        seen = paper_page.evaluate(LOOK)
        assert seen["clipped"] == []
        assert seen["least"] >= 7.5
        assert seen["bottom"] <= size["height"]
        paper_page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
        reader = PdfReader(tmp_path / "card.pdf")
        assert len(reader.pages) == 1
        assert reader.pages[0].mediabox.width == pytest.approx(0.75 * width, abs=1)
        read = unicodedata.normalize("NFKC", reader.pages[0].extract_text())
        lines = [line.strip() for line in read.splitlines()]
        assert "strand test first" in re.sub(r"\s+", " ", read)
        numbers = {line.split()[0] for line in lines if line}
        assert {str(n) for n in range(1, steps + 1)} <= numbers


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("chromium"), reason="chromium is not installed")
def test_letters_too_large_are_printed_smaller_on_one_page(tmp_path, refresh):
    from pypdf import PdfReader

    target = tmp_path / "card.pdf"
    large = card_html(refresh).replace(f"font: {LETTERS['A4']}pt", "font: 9.2pt")
    printing.print_card(large, target, "A4")
    assert len(PdfReader(target).pages) == 1
    assert large.count(printing.FIT) == 1


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("chromium"), reason="chromium is not installed")
def test_png(tmp_path, refresh):
    target = tmp_path / "card.png"
    printing.print_card(card_html(refresh), target, "A4")
    assert target.read_bytes().startswith(b"\x89PNG")


def test_a_toner_is_drawn_after_the_rinse_on_its_zone_s_first_row(refresh):
    line, (times,) = timeline(refresh), refresh.toning
    assert [row.label for row in line.rows if row.toner] == ["foils 1"]
    lay_x, lay_w, bar_x, bar_w = line.rows[0].toner
    scale = WIDTH / refresh.total_minutes
    assert lay_x == pytest.approx(LEFT + times.starts * scale)
    assert lay_x > line.rows[0].boxes[-1][1] + line.rows[0].boxes[-1][2]
    assert lay_x + lay_w == pytest.approx(bar_x)
    assert bar_x + bar_w == pytest.approx(LEFT + times.rinsed * scale)
    assert bar_x + bar_w <= LEFT + WIDTH
    html = card_html(refresh)
    assert str(total_note(refresh, short=True)) in html
    assert "last the zone&#39;s toner, its minutes assumed" in html
    steps = html[html.index("<ol") : html.index("</ol>")]
    tone = f"tone foils, off {say('clock', t=times.rinsed)}"
    assert steps.index("RINSE") < steps.index(tone)
    assert "in the ratio" not in html


def test_without_a_toner_the_card_tells_of_none():
    html = card_html(plan(load_scenario("shared/darker_base.toml"), members=10))
    assert "toned by" not in html
    assert "zone&#39;s toner" not in html
    assert "Done by" in html


def test_time_line_has_no_gap_and_names_what_occurs(refresh):
    line = timeline(refresh)
    scale = WIDTH / refresh.total_minutes
    rinsed = LEFT + refresh.service.all_rinsed * scale
    for row in line.rows:
        ends = [(x, x + w) for _, x, w in row.boxes]
        assert (ends[0][0], ends[-1][1]) == pytest.approx((LEFT, rinsed))
        assert all(a[1] == pytest.approx(b[0]) for a, b in pairwise(ends))
    html = card_html(refresh)
    occur = {place for row in line.rows for place, _, _ in row.boxes}
    assert {place for place, _ in line.key} == occur
    assert all(f">{say(f'place.{place}')}</text>" in html for place in occur)
    # Names do not run into one another: no letter is wider than `LETTER`.
    for (place, x), (_, after) in pairwise(line.key):
        assert x + line.key_box + 5.0 + LETTER * len(say(f"place.{place}")) < after
