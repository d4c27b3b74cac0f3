"""Writing the catalogue: what was drawn, what was built, and the photos of it."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.conf import settings
from django.db import transaction

from collection.catalogue.models import Circuit, Design, Maker, Photo, Piece, Position
from collection.catalogue.photo.accept import accept
from collection.catalogue.photo.keep import keep
from collection.catalogue.queries import next_codes, taken_out
from collection.core.events.described import Described
from collection.core.events.photographed import Photographed
from collection.core.partial_date import PartialDate
from collection.ledger.actions import as_told, open_book
from collection.ledger.models import Subject
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership

# What the book says of a description; the rest of a piece's fields are bookkeeping.
SAID = (
    "kind family maker design circuit name nickname year serial hidden_mark marks finish "
    "mass_grams size load_ohms connectors mains_volts mains_hz materials made_in goes_with tuning "
    "handed usual_place twin notes"
).split()
# Held back even from the book's plain facts: the book says that it changed, not what it is.
UNSAID = {"hidden_mark"}


@transaction.atomic
def add_maker(*, collection: Collection, name: str, note: str = "") -> Maker:
    """A maker by name; the one there is, when it is there already."""
    maker, _ = Maker.objects.get_or_create(
        collection=collection, name=name.strip(), defaults={"note": note}
    )
    return maker


@transaction.atomic
def add_design(
    *, collection: Collection, maker: Maker | None, kind: str, name: str, **drawn: Any
) -> Design:
    """A design of a maker; the one there is, when it is there already."""
    design, _ = Design.objects.get_or_create(
        collection=collection, maker=maker, name=name.strip(), defaults={"kind": kind, **drawn}
    )
    return design


@transaction.atomic
def add_circuit(
    *,
    collection: Collection,
    name: str,
    positions: tuple[Mapping[str, Any], ...] = (),
    **drawn: Any,
) -> Circuit:
    """A circuit with its positions in the order of the paper chart."""
    circuit, made = Circuit.objects.get_or_create(
        collection=collection, name=name.strip(), defaults=drawn
    )
    if made:
        Position.objects.bulk_create(
            Position(circuit=circuit, order=order, **position)
            for order, position in enumerate(positions, 1)
        )
    return circuit


@transaction.atomic
def enter_design(*, collection: Collection, maker: str, **drawn: Any) -> Design:
    """A design as a form describes it: the maker by name."""
    by = add_maker(collection=collection, name=maker) if maker.strip() else None
    return add_design(collection=collection, maker=by, **drawn)


@transaction.atomic
def change_design(design: Design, *, maker: str, **drawn: Any) -> Design:
    """What is said of a design as a form describes it: the maker by name."""
    by = add_maker(collection=design.collection, name=maker) if maker.strip() else None
    return change_drawn(design, maker=by, **drawn)


@transaction.atomic
def enter_circuit(*, close_to: Iterable[Circuit] = (), **drawn: Any) -> Circuit:
    """A circuit as a form describes it, with the circuits declared close to it."""
    circuit = add_circuit(**drawn)
    circuit.close_to.set(close_to)
    return circuit


@transaction.atomic
def change_drawn(drawn: Maker | Design, **changes: Any) -> Maker | Design:
    """Change what is said of a maker or of a design."""
    for name, value in changes.items():
        setattr(drawn, name, value)
    drawn.save()
    return drawn


@transaction.atomic
def change_circuit(
    circuit: Circuit,
    *,
    positions: tuple[Mapping[str, Any], ...],
    close_to: Iterable[Circuit] = (),
    **changes: Any,
) -> Circuit:
    """Change a circuit, its positions in the order given, and the circuits declared close."""
    for name, value in changes.items():
        setattr(circuit, name, value)
    circuit.save()
    Position.objects.filter(circuit=circuit).delete()
    Position.objects.bulk_create(
        Position(circuit=circuit, order=order, **position)
        for order, position in enumerate(positions, 1)
    )
    circuit.close_to.set(close_to)
    return circuit


def add_piece(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    kind: str,
    telling: Telling | None = None,
    **described: Any,
) -> Piece:
    """A piece enters the register under a code that it keeps for ever."""
    with open_book(collection, by) as book:
        subject = book.new_subject("piece", code)
        piece = Piece(subject=subject, collection=collection, code=subject.code, kind=kind)
        _set(piece, described)
        piece.save(force_insert=True)
        said = _said(piece, ["kind", *described])
        book.append(Described(said=said, first=True), subject.code, as_told(book, telling))
    return piece


def enter_piece(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    kind: str,
    maker: str,
    telling: Telling | None = None,
    **described: Any,
) -> Piece:
    """A piece as a form describes it: the maker by name, no code for the next of its letter."""
    with open_book(collection, by) as book:
        if telling and (before := book.sent_before(telling.once)):
            return Piece.objects.of(collection).get(subject=before.subject_id)
        # Looked for with the book locked, or two people would be given one code.
        code = code or next_codes(collection)[kind]
        drawn_by = add_maker(collection=collection, name=maker) if maker.strip() else None
        told = {"telling": telling, "maker": drawn_by, **described}
        return add_piece(collection=collection, by=by, code=code, kind=kind, **told)


def change_piece(*, piece: Piece, by: Membership, maker: str, **described: Any) -> Piece:
    """A piece's papers as a form describes them: the maker by name."""
    with open_book(piece.collection, by):
        drawn_by = add_maker(collection=piece.collection, name=maker) if maker.strip() else None
        return describe(piece=piece, by=by, changes={"maker": drawn_by, **described})


def describe(
    *, piece: Piece, by: Membership, changes: Mapping[str, Any], telling: Telling | None = None
) -> Piece:
    """Change a piece's description; the book says what became what."""
    changed = [name for name, value in changes.items() if getattr(piece, name) != value]
    if not changed:
        return piece
    with open_book(piece.collection, by) as book:
        _set(piece, {name: changes[name] for name in changed})
        piece.save()
        said = _said(piece, changed)
        if said:
            book.append(Described(said=said), piece.code, as_told(book, telling))
    return piece


def _set(piece: Piece, described: Mapping[str, Any]) -> None:
    for name, value in described.items():
        setattr(piece, name, value)
    when = PartialDate.parse(piece.year) if piece.year else None
    piece.built_from = when.earliest if when else None
    piece.built_to = when.latest if when else None
    piece.search = piece.search_text()


def _said(piece: Piece, names: list[str]) -> tuple[tuple[str, str], ...]:
    fields = [name for name in SAID if name in names]
    return tuple((name.replace("_", " "), _text(piece, name)) for name in fields)


def _text(piece: Piece, name: str) -> str:
    value = getattr(piece, name)
    if name in UNSAID:
        return "noted" if value else ""
    if name == "twin":
        return value.code if value else ""
    if isinstance(value, list):
        return "; ".join(map(str, value))
    return "" if value is None else str(value)


def add_photo(
    *,
    collection: Collection,
    by: Membership,
    subject: Subject,
    data: bytes,
    view: str = Photo.View.OTHER,
    caption: str = "",
    shows_mark: bool = False,
    entry: int | None = None,
    telling: Telling | None = None,
) -> Photo:
    """Keep a photo's bytes untouched and say so in the book; raises PhotoRefused.

    What was taken out for somebody's sake is not kept again: its row comes back as it is. With
    `entry` it is evidence for that entry; else it gets an entry of its own. Reading and
    keeping the bytes happens before the book is opened.
    """
    accepted = accept(data)
    if gone := taken_out(collection, accepted.sha256):
        return gone
    keep(settings.PHOTOS, collection.book, data, accepted.sha256)
    with open_book(collection, by) as book:
        before = Photo.objects.of(collection).filter(subject=subject, sha256=accepted.sha256)
        if found := before.first():
            return found
        if entry is None:
            facts = Photographed(sha256=accepted.sha256, view=view)
            entry = book.append(facts, subject.code, as_told(book, telling)).sequence
        return Photo.objects.create(
            collection=collection,
            subject=subject,
            sha256=accepted.sha256,
            format=accepted.format,
            width=accepted.width,
            height=accepted.height,
            byte_count=accepted.byte_count,
            camera_says=accepted.camera_says or "",
            view=view,
            caption=caption,
            shows_mark=shows_mark,
            entry=entry,
            added_by=by.code,
        )
