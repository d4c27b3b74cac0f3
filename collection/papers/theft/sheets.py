"""The two sheets of a theft: what strangers may read, and what the officer needs."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from collection.catalogue.models import Photo, Piece
from collection.core import lettering
from collection.core.notice import Secrets, leak, without_leaks
from collection.core.partial_date import PartialDate
from collection.core.police_form import PoliceForm, alike, police_form
from collection.core.state import from_json
from collection.custody.incident import GONE, pieces_of, said_when, zone_of
from collection.custody.models import Incident
from collection.custody.whereabouts import Whereabouts
from collection.custody.withheld import held_back_of, photos_of, secrets_of

ROLE = "the gear desk"


@dataclass(frozen=True)
class NoticeItem:
    """One piece as strangers may know it."""

    name: str
    kind: str
    looks: str
    serial: str
    spelt: str
    photo: Photo | None
    marks: tuple[str, ...]


@dataclass(frozen=True)
class Notice:
    """One printed page; `withheld` are reasons why something was left off, for us alone."""

    incident: Incident
    town: str
    where: str
    window: str
    items: tuple[NoticeItem, ...]
    pending: str
    contact: str
    reach: str
    withheld: tuple[str, ...]


@dataclass(frozen=True)
class OfficerRow:
    """One piece with everything that tells it from its twins."""

    piece: Piece
    looks: str
    serial: PoliceForm
    owners_mark: PoliceForm
    clash: bool
    held_back: tuple[str, ...]
    last_seen: str
    value_minor: int | None
    standing: str  # 'stolen', 'not found'; anything else says that it is back


@dataclass(frozen=True)
class Officer:
    """The officer's sheet: not for publication."""

    incident: Incident
    where: str
    last_seen: str
    found_gone: str
    rows: tuple[OfficerRow, ...]
    totals: tuple[tuple[int, str], ...]
    unvalued: int


def notice_of(incident: Incident, known: Whereabouts) -> Notice:
    """The notice of an incident: its own pieces, and nothing that must stay in the house."""
    secrets, own, zone = secrets_of(incident), pieces_of(incident), zone_of(incident)
    listed = [piece for piece in own if _stolen(piece)]
    photos = {photo.pk: photo for photo in photos_of(listed)}
    items = tuple(_item(incident, piece, photos, secrets) for piece in listed)
    place = incident.place_id if incident.place_id in known.rows else None
    public = place is not None and not known.private(place)
    words = (incident.place_words, known.name(place) if public else "")
    last, gone = said_when(incident.last_seen, zone), said_when(incident.found_gone, zone)
    contact = incident.contact_words
    return Notice(
        incident=incident,
        town=_open_town(place, known) if public else "",
        where=", ".join(without_leaks(words, secrets)),
        window=_window(last, gone),
        items=items,
        pending=_said_of_report(incident, secrets),
        contact=ROLE if leak(contact, secrets) else contact,
        reach=incident.contact_reach,
        withheld=(*_not_stolen(own), *_withheld(incident, listed, secrets)),
    )


def _stolen(piece: Piece) -> bool:
    return bool(piece.subject.state.standing == "stolen")


def _not_stolen(own: list[Piece]) -> Iterable[str]:
    for piece in own:
        if not _stolen(piece):
            standing = piece.subject.state.standing.replace("_", " ")
            yield f"{piece.code}: by the book it is {standing} now, not stolen"


def _item(
    incident: Incident, piece: Piece, photos: dict[int, Photo], secrets: Secrets
) -> NoticeItem:
    held = held_back_of(incident, piece)
    shown = [str(mark) for mark in piece.marks if str(mark) not in held]
    chosen = photos.get(incident.photos.get(piece.code, 0))
    first = next((p for p in photos.values() if p.subject_id == piece.pk), None)
    photo = chosen if chosen and chosen.subject_id == piece.pk else first
    hidden = piece.hidden_mark and alike(piece.serial, piece.hidden_mark)
    serial = "" if hidden else piece.serial
    return NoticeItem(
        name="; ".join(without_leaks([piece.called], secrets)) or piece.get_kind_display(),
        kind=piece.kind,
        looks=looks(piece, secrets),
        serial=serial,
        spelt=lettering.spelt_out(serial),
        photo=photo,
        marks=without_leaks(shown, secrets),
    )


def looks(piece: Piece, secrets: Secrets | None = None) -> str:
    """Maker, year, finish and size; each part that would leak left out."""
    built = f"built {PartialDate.parse(piece.year).sentence()}" if piece.year else ""
    family = piece.family or piece.get_kind_display()
    parts = [str(piece.maker or ""), family, built, piece.finish, piece.size]
    return ", ".join(without_leaks(parts, secrets or Secrets()))


def refusals(incident: Incident) -> tuple[str, ...]:
    """Why a notice must not go out at all: nothing is stolen, or it would give another piece away.

    A text is left off the page and named there; a wrong number or a wrong photo is more: whoever
    chose it took one piece for another, so nothing is printed until that is put right.
    """
    own, secrets = pieces_of(incident), secrets_of(incident)
    numbers = Secrets(numbers=secrets.numbers)
    found = []
    if not any(map(_stolen, own)):
        found.append("By the book nothing of this is stolen now, and a notice says 'stolen'.")
    for what, text in _texts(incident, own):
        if leak(text, numbers):
            found.append(f"{what} gives the serial or mark of another piece: {text}")
    ours = set(Photo.objects.filter(subject__in=[p.pk for p in own]).values_list("pk", flat=True))
    for code, pk in sorted(incident.photos.items()):
        if code not in {piece.code for piece in own} or pk not in ours:
            found.append(f"The photo chosen for {code} is of another piece.")
    return tuple(found)


def _texts(incident: Incident, own: list[Piece]) -> Iterable[tuple[str, str]]:
    """Every text that people typed and that a notice could print, with what it is."""
    yield "The place", incident.place_words
    yield "The contact", f"{incident.contact_words} {incident.contact_reach}"
    yield "The station", incident.police_station
    for piece in own:
        held = held_back_of(incident, piece)
        yield f"{piece.code}, what it is called,", piece.called
        yield f"{piece.code}, its looks,", looks(piece)
        for mark in map(str, piece.marks):
            if mark not in held:
                yield f"{piece.code}, a mark,", mark


def _open_town(place: int | None, known: Whereabouts) -> str:
    chain = known.chain(place) if place is not None else []
    found = next((p for p in reversed(chain) if p.town), None)
    return ", ".join(filter(None, (found.town, found.country))) if found else ""


def _window(last: str, gone: str) -> str:
    if last and gone:
        return f"between {last} and {gone}"
    return f"after {last}" if last else f"before {gone}" if gone else ""


def _said_of_report(incident: Incident, secrets: Secrets) -> str:
    station = "; ".join(without_leaks([incident.police_station], secrets))
    at = f", {station}" if station else ""
    if incident.police_reference:
        return f"reported{at}, reference {incident.police_reference}"
    if incident.report == Incident.Report.NOT_YET:
        return "not reported to the police yet"
    return f"reported, reference pending{at}"


def _withheld(incident: Incident, own: list[Piece], secrets: Secrets) -> Iterable[str]:
    texts = [("the place", incident.place_words), ("the contact", incident.contact_words)]
    texts.append(("the station", incident.police_station))
    for piece in own:
        held = held_back_of(incident, piece)
        texts += [(f"{piece.code}, what it is called", piece.called)]
        texts += [(f"{piece.code}, its finish", piece.finish)]
        texts += [(f"{piece.code}, a mark", str(m)) for m in piece.marks if str(m) not in held]
        if piece.hidden_mark and alike(piece.serial, piece.hidden_mark):
            yield f"{piece.code}, its serial: it is the hidden mark"
    for what, text in texts:
        if why := leak(text, secrets):
            yield f"{what}: {why}"


def officer_of(incident: Incident, known: Whereabouts) -> Officer:
    """Everything about the pieces of an incident, for the officer alone."""
    own, zone = pieces_of(incident), zone_of(incident)
    totals: dict[str, int] = {}
    for piece in own:
        if piece.value_minor is not None and piece.value_currency:
            before = totals.get(piece.value_currency, 0)
            totals[piece.value_currency] = before + piece.value_minor
    where = [incident.place_words, known.words(incident.place_id)]
    return Officer(
        incident=incident,
        where=", ".join(filter(None, where)),
        last_seen=said_when(incident.last_seen, zone),
        found_gone=said_when(incident.found_gone, zone),
        rows=tuple(_row(incident, piece, known) for piece in own),
        totals=tuple((minor, currency) for currency, minor in sorted(totals.items())),
        unvalued=sum(1 for piece in own if piece.value_minor is None),
    )


def _row(incident: Incident, piece: Piece, known: Whereabouts) -> OfficerRow:
    state = from_json(piece.subject.state.detail)
    still_gone = state.standing in GONE
    place = known.by_code.get(state.place or "") if still_gone else None
    seen = [said_when(incident.last_seen, zone_of(incident)) or _seen(piece)]
    seen.append(known.words(place.pk) if place else "")
    return OfficerRow(
        piece=piece,
        looks=looks(piece),
        serial=police_form(piece.serial),
        owners_mark=police_form(piece.hidden_mark),
        clash=alike(piece.serial, piece.hidden_mark),
        held_back=held_back_of(incident, piece),
        last_seen=", ".join(filter(None, seen)),
        value_minor=piece.value_minor if piece.value_currency else None,
        standing=state.standing.replace("_", " "),
    )


def _seen(piece: Piece) -> str:
    seen: datetime | None = piece.subject.state.seen_at
    return said_when(seen.isoformat(timespec="seconds"), piece.collection.zone_info) if seen else ""
