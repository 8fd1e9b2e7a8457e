"""Consultation: what is asked before anything is mixed, and what the answers refuse."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from lift.errors import LiftError, check_choice
from lift.model.frozen import store
from lift.model.mixture import Mixture
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.practice.consulted import REFUSED, Consulted, Stop
from lift.practice.scenario.place import FieldError
from lift.practice.scenario.reader import Reader
from lift.quantities import check_fields, quantities_of, quantity
from lift.words import Note, note

TEST_DAYS = 2
"""An allergy test is done 48 h before each use: labels of hair dyes."""

OLDEST_TEST_DAYS = 34
"""Past as many days a test may have been for the service before: clients come back with 12 mm of
regrowth or more (common practice, no source), which grow in 34 days at 0.35 mm a day (Vogt et al.).
"""

NONE = "none"
"""An allergy test, or a test in a bowl, that was not done."""

NOTHING = "nothing"
"""Asked, and nothing was on the hair before."""

YES_NO = ("no", "yes")
BEFORE = (NOTHING, "colour", "henna", "metal", "heat")
SALTS = ("henna", "metal")
"""What may leave metallic salts in the hair."""


def read_test(text: str) -> str:
    """Read the day of an allergy test, ``2026-11-25``, or ``none``."""
    if text != NONE:
        try:
            date.fromisoformat(text)
        except ValueError:
            raise LiftError("consultation.no_day", value=text) from None
    return text


@dataclass(frozen=True)
class Consultation:
    """Answers of one client; None, or nothing at all, stands for what was not asked yet.

    Raises
    ------
    LiftError
        For an answer that is none of those that can be given.

    Examples
    --------
    >>> found = consult(Consultation(asthma="yes"), date(2026, 11, 27))
    >>> [stop.refuses for stop in found.stops], "scalp" in found.open
    (['persulfate'], True)
    """

    allergy_test: str | None = quantity(
        read=read_test,
        standing="published",
        source="48 h before each use: labels of hair dyes, Regulation (EC) 1223/2009, Annex III; "
        "how old it may be: common practice (no source)",
    )
    scalp: str | None = quantity(
        choices=lambda: ("sound", "irritated"),
        standing="published",
        source="no colour on sensitive, irritated or damaged scalp: labels of hair dyes, "
        "Regulation (EC) 1223/2009, Annex III; scalp burns from lighteners: Maguina 2007, "
        "Bouschon 2018",
    )
    reactions: str | None = quantity(
        choices=lambda: YES_NO,
        standing="published",
        source="no colour after any reaction, or one to a black henna tattoo: labels of hair "
        "dyes, Regulation (EC) 1223/2009, Annex III; that lighteners wait, too, until it is "
        "known to what: common practice (no source)",
    )
    asthma: str | None = quantity(
        choices=lambda: YES_NO,
        standing="published",
        source="persulfate salts are the main cause of occupational asthma in hairdressers "
        "(review of 42 papers, Int. Arch. Occup. Environ. Health 2022, doi "
        "10.1007/s00420-022-01852-w, abstract read); 4 of 23 staff of one salon had it (Blainey "
        "1986, Thorax 41:42, abstract read), where asthma of other origin did not react: that "
        "nobody with asthma sits by it is caution, common practice (no source)",
    )
    before: tuple[str, ...] = quantity(
        default=(),
        standing="common practice",
        source="metallic salts, which henna may hold, react with peroxide: common practice (no "
        "source)",
    )
    bowl_test: str | None = quantity(
        choices=lambda: (NONE, "calm", "reacted"),
        standing="common practice",
        source="cut hair in peroxide fizzes, warms, changes colour or breaks: common practice (no "
        "source)",
    )
    stretch: str | None = quantity(
        choices=lambda: ("springs", "stays", "breaks"),
        standing="common practice",
        source="sound wet hair stretches and springs back: common practice (no source)",
    )
    porous: str | None = quantity(
        choices=lambda: ("low", "medium", "high"),
        standing="common practice",
        source="open hair takes up mixture and tone faster: common practice (no source)",
    )
    medical: str | None = quantity(
        choices=lambda: ("asked",),
        standing="common practice",
        source="pregnancy and medicines are left to licensed practice: common practice (no source)",
    )

    def __post_init__(self) -> None:
        check_fields(self, store)
        if self.allergy_test is not None:
            read_test(self.allergy_test)
        store(self, "before", tuple(dict.fromkeys(self.before)))
        for place, each in enumerate(self.before):
            try:
                check_choice("quantity.before.label", each, BEFORE)
            except LiftError as error:
                raise FieldError(("before", place), error.note) from None
        if NOTHING in self.before and len(self.before) > 1:
            raise FieldError(("before",), "consultation.nothing_and")

    @property
    def open(self) -> tuple[str, ...]:
        """Questions that are yet to be answered; a bowl only where it could tell something."""
        salts = any(each in self.before for each in (*SALTS, "colour"))
        asked = [name for name in quantities_of(Consultation) if name != "bowl_test" or salts]
        return tuple(name for name in asked if not getattr(self, name))


def consultation_of(reader: Reader) -> Consultation:
    """Read the answers from a table of a file."""
    given = reader.given(Consultation)
    reader.finish()
    with reader.at():
        return Consultation(**given)


def consult(consultation: Consultation, today: date) -> Consulted:
    """Conclude from answers: what is refused, what is warned of, what is open.

    Parameters
    ----------
    consultation : Consultation
        As answered so far.
    today : datetime.date
        Day of the service.

    Examples
    --------
    >>> found = consult(Consultation(stretch="breaks"), date(2026, 11, 27))
    >>> print(found.stops[0].note)
    Stop: no lightening. Wet hair breaks when stretched. Cut it off, or let it grow out.
    """
    stops = sorted(_stops(consultation, today), key=lambda s: REFUSED.index(s.refuses))
    return Consulted(tuple(stops), tuple(_cautions(consultation, today)), consultation.open)


def allowed_kinds(
    consulted: Consulted, along: str | None = None, classes: MixtureClasses | None = None
) -> tuple[str, ...]:
    """Classes of mixture that no stop refuses along the hair, with the tone they carry.

    Examples
    --------
    >>> allowed_kinds(consult(Consultation(asthma="yes"), date(2026, 11, 27)))
    ('cream', 'base-break')
    """
    known = classes or mixture_classes()
    return tuple(n for n, c in known.items() if consulted.refused(Mixture(c), along) is None)


def _stop(question: str, refuses: str, because: str, until: Note | None = None) -> Stop:
    of = quantities_of(Consultation)[question]
    return Stop(
        question,
        refuses,
        note(f"consultation.because.{because}"),
        until or note(f"consultation.until.{because}"),
        of.standing,
        of.source,
    )


def _stops(said: Consultation, today: date) -> Iterator[Stop]:
    yield from _allergy(said.allergy_test, today)
    if said.scalp == "irritated":
        yield _stop("scalp", "scalp", "irritated")
        yield _stop("scalp", "colour", "irritated")
    if said.reactions == "yes":
        yield _stop("reactions", "all", "reactions")
    if said.asthma == "yes":
        yield _stop("asthma", "persulfate", "asthma")
    if said.bowl_test == "reacted":
        yield _stop("bowl_test", "all", "reacted")
    elif _any(said.before, SALTS) and said.bowl_test != "calm":
        yield _stop("before", "all", "salts")
    if said.stretch == "breaks":
        yield _stop("stretch", "lightening", "breaks")


def _allergy(test: str | None, today: date) -> Iterator[Stop]:
    if test is None:
        return
    if test == NONE:
        yield _stop("allergy_test", "colour", "untested")
        return
    since = (today - date.fromisoformat(test)).days
    if since < TEST_DAYS:
        day = (date.fromisoformat(test) + timedelta(days=TEST_DAYS)).isoformat()
        yield _stop("allergy_test", "colour", "too_soon", note("consultation.until.day", day=day))
    elif since > OLDEST_TEST_DAYS:
        yield _stop("allergy_test", "colour", "too_old")


def _cautions(said: Consultation, today: date) -> Iterator[Note]:
    tested = said.allergy_test not in (None, NONE)
    if tested and (today - date.fromisoformat(str(said.allergy_test))).days == TEST_DAYS:
        yield note("consultation.caution.hour", hours=24 * TEST_DAYS)
    if said.stretch == "stays":
        yield note("consultation.caution.stays")
    if said.porous == "high":
        yield note("consultation.caution.porous")
    for each in ("colour", "heat"):
        if each in said.before:
            yield note(f"consultation.caution.{each}")
    if _any(said.before, SALTS) and said.bowl_test == "calm":
        yield note("consultation.caution.salts")


def _any(before: Iterable[str], wanted: tuple[str, ...]) -> bool:
    return any(each in wanted for each in before)
