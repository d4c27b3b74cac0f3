"""What the book says of one night, as a sheet of lines."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from django.db.models import Q

from collection.catalogue.queries import pieces
from collection.core.entry import to_us
from collection.core.wording import day, duration
from collection.desk.lined import Item, Lined, heading
from collection.ledger.models import Event
from collection.ledger.queries import sentence_of, superseded
from collection.road.day_sheet import moments
from collection.road.models import Died, Show
from collection.road.overrides.queries import apply, of_show

HALL = "hall and weather"  # what a note of a show is about
TUBES = ("issued", "pulled", "died_in_use", "fitted", "removed")
TROUBLE = ("faulted", "tagged_out")
MORNING = time(6)  # a night lasts until nobody plays any more


@dataclass(frozen=True)
class Night:
    """A show with the entries of its night; `called`: names of pieces by code."""

    show: Show
    of_show: tuple[Event, ...]
    around: tuple[Event, ...]
    deaths: tuple[Died, ...]
    called: Mapping[str, str]

    @property
    def played(self) -> Event | None:
        """The entry that says what was played."""
        return next((one for one in self.of_show if one.kind == "played"), None)

    @property
    def notes(self) -> list[Event]:
        """Notes of the show, without those on the hall."""
        found = [one for one in self.of_show if one.kind == "noted"]
        return [one for one in found if one.facts.get("about") != HALL]

    @property
    def hall(self) -> list[Event]:
        """What was typed about hall and weather."""
        return [one for one in self.of_show if one.facts.get("about") == HALL]

    def around_of(self, *kinds: str) -> list[Event]:
        """Entries of the night of these kinds, in their order."""
        return [one for one in self.around if one.kind in kinds]

    def name(self, code: str) -> str:
        """A code with the name behind it."""
        return f"{code} {self.called.get(code, '')}".strip()


def night_of(show: Show) -> Night:
    """Everything of a show's night; six queries whatever its size."""
    own = Event.objects.filter(~superseded(), subject=show.subject, kind__in=["played", "noted"])
    around = _around(show)
    deaths = list(Died.objects.filter(show=show).select_related("position__piece__design"))
    apply([died.position for died in deaths], show)
    deaths.sort(key=lambda died: died.at)
    shown = (*own.order_by("placed_us", "sequence"),)
    return Night(show, shown, around, tuple(deaths), _called((*shown, *around)))


def _around(show: Show) -> tuple[Event, ...]:
    begins, ends = _window(show)
    kinds = (*TUBES, *TROUBLE, "noted", "played")
    at = Q(placed_us__gte=to_us(begins), placed_us__lt=to_us(ends))
    rows = Event.objects.of(show.collection).filter(~superseded(), kind__in=kinds)
    rows = rows.filter(at | Q(earliest=show.on, latest=show.on)).exclude(subject=show.subject)
    # Left-on hours stand on a session; another show of the same day has a report of its own.
    rows = rows.exclude(subject__kind="show").select_related("subject")
    return tuple(rows.order_by("placed_us", "sequence"))


def _window(show: Show) -> tuple[datetime, datetime]:
    ends = datetime.combine(show.on + timedelta(days=1), MORNING, tzinfo=show.zone)
    return datetime.combine(show.on, MORNING, tzinfo=show.zone), ends


def _called(events: Iterable[Event]) -> dict[str, str]:
    rows = list(events)
    if not rows:
        return {}
    codes = {code for one in rows for code in (one.subject.code, *one.names.values())}
    found = pieces(rows[0].collection).filter(code__in=codes)
    return {piece.code: piece.called for piece in found}


def report(night: Night) -> Lined:
    """The sheet of the night."""
    show = night.show
    place = ", ".join(part for part in (show.venue.name, show.venue.town) if part)
    return Lined(
        name="Show report",
        code=show.code,
        title=f"Show {show.number}, {show.venue.town or show.venue.name}",
        lead=(f"{day(show.on, today=None)}, {place}", show.tour.name),
        headings=(
            heading("played", "Played", _played(night), "The show is not logged yet."),
            heading("trouble", "Troubled", _troubled(night), _untroubled(night)),
            heading("died", "Died on stage", _deaths(night), "Nobody pressed ‘It died’."),
            heading("faults", "Faults and tags", _faults(night), "No fault was written."),
            heading("tubes", "Tubes and parts changed", _tubes(night), "None was changed."),
            heading("notes", "Notes, by song", _notes(night), "No note."),
            heading("hall", "Hall and weather", _hall(night), "Nobody wrote anything."),
            heading("plan", "Otherwise than planned", _otherwise(show), "As the rig plan has it."),
            heading("left", "Left on", _left_on(night), "Nothing was left on."),
            heading("times", "Times", _times(show), "No time is set."),
        ),
    )


def _played(night: Night) -> Iterator[Item]:
    event = night.played
    if event is None:
        return
    hours = [("on the heaters", "heater_hours"), ("with high tension on", "ht_hours")]
    for words, fact in hours:
        if event.facts.get(fact):
            yield Item(f"{event.facts[fact]} h {words}")
    for code in event.facts.get("pieces", ()):
        yield Item(night.name(code), aside="without trouble", mark="ok", link=_piece(night, code))


def _troubled(night: Night) -> Iterator[Item]:
    event = night.played
    for code in event.facts.get("troubled", ()) if event else ():
        yield Item(night.name(code), aside="troubled", mark="open", link=_piece(night, code))


def _untroubled(night: Night) -> str:
    """What no trouble means: nothing at all as long as nobody has logged the show."""
    return "Everything sounded without trouble." if night.played else "The show is not logged yet."


def _deaths(night: Night) -> Iterator[Item]:
    zone = night.show.zone
    for died in night.deaths:
        piece = died.position.piece
        what = f"{piece.code} {piece.called}" if piece else died.position.name
        back, silent = died.sound_back_at, "nobody noted when sound was back"
        if back:
            lasted = duration(max((back - died.at).total_seconds(), 0))
            silent = f"sound back at {back.astimezone(zone):%H:%M}, silent for {lasted}"
        yield Item(what, f"{died.position}: {silent}", f"{died.at.astimezone(zone):%H:%M}")


def _faults(night: Night) -> Iterator[Item]:
    for event in night.around_of(*TROUBLE):
        code = event.subject.code
        yield Item(night.name(code), sentence_of(event), link=_piece(night, code))


def _tubes(night: Night) -> Iterator[Item]:
    for event in night.around_of(*TUBES):
        code = event.names.get("piece", event.subject.code)
        more = f"{sentence_of(event)} {event.words}".strip()
        yield Item(night.name(code), more, link=_piece(night, code))


def _notes(night: Night) -> Iterator[Item]:
    of_pieces = [one for one in night.around_of("noted") if one.subject.code in night.called]
    for event in sorted((*night.notes, *of_pieces), key=lambda one: one.facts.get("about", "")):
        code = event.subject.code
        about = [night.name(code)] if code in night.called else []
        about += [event.facts["about"]] if event.facts.get("about") else []
        yield Item(event.words or sentence_of(event), ", ".join(about), link=_piece(night, code))


def _hall(night: Night) -> Iterator[Item]:
    for event in night.hall:
        yield Item(event.words)


def _otherwise(show: Show) -> Iterator[Item]:
    for row in of_show(show):
        instead = row.outside.name if row.outside else row.piece.code if row.piece else ""
        yield Item(f"{row.position}: {instead}" if instead else str(row.position), row.because)


def _left_on(night: Night) -> Iterator[Item]:
    for event in night.around_of("played"):
        if event.facts.get("session") == "left-on":
            yield Item(sentence_of(event))


def _times(show: Show) -> Iterator[Item]:
    for one in moments(show):
        yield Item(one.words, aside=f"{one.at.astimezone(show.zone):%H:%M}")


def _piece(night: Night, code: str) -> tuple[str, ...]:
    return ("desk:piece", code) if code in night.called else ()
