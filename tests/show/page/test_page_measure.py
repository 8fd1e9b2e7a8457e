"""A photograph that is sent: what is answered, what is refused, and what is kept of it."""

import base64
import io
from dataclasses import dataclass

import numpy as np
import pytest
from PIL import Image

from lift.make.photograph import Scene, as_jpeg, photograph, some_hair
from lift.photo.measure import measure
from lift.practice.trial.observation import observation
from lift.practice.visit import pictures
from lift.show.card.photo_guide import LINES
from lift.show.page.app import build_app
from lift.show.page.measure import MOST_PICTURE_BYTES
from lift.words import say

JPEG = {"content-type": "image/jpeg"}


def typed(points):
    return "%20".join(f"{x:.1f},{y:.1f}" for x, y in np.asarray(points).tolist())


@dataclass
class Sent:
    body: bytes
    chart: np.ndarray
    hair: np.ndarray

    @property
    def query(self):
        return f"chart={typed(self.chart)}&hair={typed(self.hair)}"


@pytest.fixture(scope="module")
def sent():
    """A computed photograph as a phone sends it, with EXIF of a maker and a place."""
    taken = photograph(Scene(some_hair(1, seed=3)[0], noise=0.002, seed=1))
    exif = Image.Exif()
    exif[0x010F] = "a maker of cameras"
    return Sent(as_jpeg(taken.pixels, 95, exif=exif), taken.chart, taken.hair[0])


def post(site, url, body, **headers):
    return site.post(url, body, headers=JPEG | headers)


def test_it_is_measured_as_the_library_does(browser, sent):
    got = post(browser, f"/api/measure?shown=true&{sent.query}", sent.body).json
    answer, shown = got["answer"], got["shown"]
    found = measure(sent.body, np.round(sent.chart, 1), np.round(sent.hair, 1))
    np.testing.assert_allclose(answer["lab"], found.lab, rtol=1e-3, atol=1e-3)
    assert answer["cautions"] == [str(each) for each in found.cautions]
    # What goes into a visit is read there as it was measured.
    seen = observation(5, shown["seen"])
    np.testing.assert_allclose(seen.lab, found.lab, atol=0.006)
    np.testing.assert_allclose(seen.lab_sd, found.sd, atol=0.006)
    assert shown["colour"].split(",") == shown["seen"].split("\u00b1")[0].split(",")
    assert len(shown["locks"]) in (2, 3)
    taken = shown["taken"]
    bits = np.unpackbits(np.frombuffer(base64.b64decode(taken["bits"]), np.uint8))
    mask = bits[: taken["rows"] * taken["columns"]].reshape(taken["rows"], taken["columns"])
    np.testing.assert_array_equal(mask.astype(bool), found.taken.mask)
    assert tuple(taken["box"]) == found.taken.box


@pytest.mark.parametrize(
    ("query", "headers", "status", "field"),
    [
        ("hair=1,1%205,5", {}, 422, "chart"),
        ("chart=1,1%205,5&hair=1,1%205,5", {}, 422, "chart"),
        ("chart=1,1%205,1%205,5%201,5&hair=x", {}, 422, "hair"),
        (None, {"content-type": "image/x-adobe-dng"}, 415, ""),
        (None, {"content-type": "application/json"}, 415, ""),
        (None, {"content-length": str(MOST_PICTURE_BYTES + 1)}, 413, ""),
    ],
)
def test_what_cannot_be_measured_is_refused(browser, sent, query, headers, status, field):
    reply = post(browser, f"/api/measure?{query or sent.query}", sent.body, **headers)
    assert reply.status == status
    assert list(reply.errors) == [field]


def test_refusals_of_the_picture_are_one_line(browser, sent):
    broken = post(browser, f"/api/measure?{sent.query}", b"no picture")
    assert (broken.status, broken.errors[""]) == (
        422,
        say("photo.broken", name=say("photo.sent")),
    )
    heic = post(browser, f"/api/measure?{sent.query}", b"\0\0\0\x18ftypheic" + b"\0" * 40)
    assert heic.status == 422
    on_chart = f"chart={typed(sent.chart)}&hair={typed(sent.chart[[0, 2]])}"
    assert post(browser, f"/api/measure?{on_chart}", sent.body).errors[""] == say("photo.on_chart")


def test_only_a_picture_may_be_large(browser, sent):
    chunks = [b"x" * 50_000] * 3
    reply = browser.call("POST", f"/api/measure?{sent.query}", headers=JPEG, chunks=chunks)
    assert reply.status == 422
    body = b"x" * 100_000
    assert post(browser, "/api/plan", body).status == 413
    assert browser.delete("/api/visits/none-1/pictures?number=1", body=body).status == 413


def test_nothing_of_a_picture_is_left_behind(tmp_path, open_browser, sent):
    data = tmp_path / "data"
    site = open_browser(build_app(data))
    post(site, f"/api/measure?{sent.query}", sent.body)
    # The guard's own secret is all that is written.
    assert [p.name for p in data.rglob("*") if p.is_file()] == ["secret"]


@pytest.fixture
def kept(tmp_path, open_browser):
    """A site of its own with a visit, and where it keeps it."""
    site = open_browser(build_app(tmp_path / "data"))
    name = site.post("/api/visits", {}).json["visit"]["visit"]["name"]
    return site, name, tmp_path / "data" / "visits.sqlite"


def test_a_picture_is_kept_where_that_is_asked_for(kept, sent):
    site, name, path = kept
    url = f"/api/visits/{name}/pictures"
    assert site.get(url).json == {"pictures": []}
    (got,) = post(site, f"{url}?{sent.query}&zone=foils", sent.body).json["pictures"]
    assert got["zone"] == "foils"
    reply = site.get(got["address"])
    assert reply.headers["content-type"] == "image/jpeg"
    with Image.open(io.BytesIO(reply.body)) as image:
        assert not image.getexif()
        assert not {"exif", "icc_profile"} & {*image.info}
        # Chart and hair, and little around them.
        both = np.vstack([sent.chart, sent.hair])
        wide, high = np.ptp(both, axis=0)
        assert wide <= image.width <= 1.2 * wide + 2
        assert high <= image.height <= high + 0.2 * wide + 2
    assert b"a maker" not in path.read_bytes()
    # A visit that is copied is another's.
    copy = site.post("/api/visits", {"like": name}).json["visit"]["visit"]["name"]
    assert site.get(f"/api/visits/{copy}/pictures").json == {"pictures": []}
    assert site.get(f"/pictures/{copy}.jpg?number={got['number']}").status == 404
    assert site.delete(f"{url}?number={got['number']}").json == {"pictures": []}
    assert site.get(got["address"]).status == 404


def test_pictures_are_deleted_with_their_visit(kept, sent):
    site, name, path = kept
    url = f"/api/visits/{name}/pictures"
    post(site, f"{url}?{sent.query}", sent.body)
    body = site.get(f"/pictures/{name}.jpg?number=1").body
    assert body[100:200] in path.read_bytes()
    site.delete(f"/api/visits/{name}")
    assert body[100:200] not in path.read_bytes()
    assert site.get(url).status == 404


def test_a_visit_has_room_for_a_few(kept, sent, monkeypatch):
    site, name, _ = kept
    url = f"/api/visits/{name}/pictures?{sent.query}"
    monkeypatch.setattr(pictures, "MOST_PICTURES", 1)
    assert post(site, url, sent.body).status == 200
    assert "1 picture is kept" in post(site, url, sent.body).errors[""]
    assert post(site, f"/api/visits/none-1/pictures?{sent.query}", sent.body).status == 404


def test_the_guide_is_a_page_of_its_own(browser):
    reply = browser.get("/guide?paper=Letter")
    text = reply.body.decode()
    assert "<script" not in text
    assert all(say(code).replace("'", "&#39;") in text for code in LINES)
    assert browser.get("/guide?paper=A0").status == 422
