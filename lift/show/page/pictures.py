"""Pictures kept with a visit, where that was asked for: chart and hair, cut out and drawn anew."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import Annotated

from msgspec import Meta
from starlette.concurrency import run_in_threadpool

from lift.answers.encode import Part, encode
from lift.photo.chart import read_points
from lift.photo.keep import to_keep
from lift.practice.visit.codes import check_name
from lift.practice.visit.pictures import NoPictureError, VisitPictures
from lift.practice.visit.visit_store import NoVisitError
from lift.show.page.answer import Answer
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import RefusedError, refused
from lift.show.page.resource import Parameter
from lift.show.page.visits import MISSING, visits_of

NUMBER = (Parameter("number", Annotated[int, Meta(ge=1, le=2**53)], required=True),)
ZONE = Parameter("zone", Annotated[str, Meta(max_length=80)])


class PictureShown(Part):
    """A picture that is kept: of which zone, taken in on which day, and where it is shown."""

    number: int
    zone: str
    day: str
    address: str


class PicturesAnswer(Part):
    """Pictures kept with a visit, in the order in which they were kept."""

    pictures: list[PictureShown]


def list_pictures(desk: Desk, asked: Asked) -> PicturesAnswer:
    """Pictures kept with a visit."""
    with _pictures(desk, asked.name) as pictures:
        return _answer(pictures, asked.name)


async def keep_picture(desk: Desk, asked: Asked) -> Answer:
    """Keep a picture with a visit: what lies around chart and hair, without EXIF."""
    places = [read_points(asked.query[name]) for name in ("chart", "hair")]
    made = await desk.slow.once(partial(answer_kept, asked.body, *places))
    zone = asked.query.get("zone", "")
    return await run_in_threadpool(_keep, desk, asked.name, zone, made.plain)


def answer_kept(content: bytes, *places: list[tuple[float, ...]]) -> Answer:
    """Picture as it is kept; runs in any process."""
    return Answer(to_keep(content, *places), media="image/jpeg")


def delete_picture(desk: Desk, asked: Asked) -> PicturesAnswer:
    """Delete a picture for good; those that are left."""
    with _pictures(desk, asked.name) as pictures:
        pictures.delete(asked.name, int(asked.query["number"]))
        return _answer(pictures, asked.name)


def picture(desk: Desk, asked: Asked) -> Answer:
    """Picture that is kept with a visit."""
    with _pictures(desk, asked.name) as pictures:
        body = pictures.body(asked.name, int(asked.query["number"]))
    return Answer(body, media="image/jpeg")


def _keep(desk: Desk, name: str, zone: str, body: bytes) -> Answer:
    with _pictures(desk, name) as pictures:
        pictures.add(name, zone, body)
        return Answer(encode(_answer(pictures, name)))


def _answer(pictures: VisitPictures, name: str) -> PicturesAnswer:
    return PicturesAnswer(
        [
            PictureShown(
                kept.number, kept.zone, kept.day, f"/pictures/{name}.jpg?number={kept.number}"
            )
            for kept in pictures.of(name)
        ]
    )


@contextmanager
def _pictures(desk: Desk, name: str) -> Iterator[VisitPictures]:
    """Pictures of visits, of which one is asked for; what is not there is said so."""
    with refused("name", MISSING):
        check_name(name)
    try:
        with visits_of(desk) as store:
            yield VisitPictures(store)
    except NoVisitError as error:
        raise RefusedError({"name": error.note}, MISSING) from None
    except NoPictureError as error:
        raise RefusedError({"number": error.note}, MISSING) from None
