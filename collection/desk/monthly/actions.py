"""Choosing who gets a seal every month, and writing that month's letters once."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from collection.custody.models import Party
from collection.desk.monthly import enclosures
from collection.desk.monthly.models import SealReader
from collection.desk.monthly.queries import key_of, readers, written_to
from collection.desk.post.models import Enclosure, Letter
from collection.desk.post.quiet import before_doors
from collection.ledger import proof
from collection.ledger.actions import open_book
from collection.ledger.sealing import actions as sealing
from collection.ledger.sealing.queries import Kept, seal_at
from registry.access.models import Collection, Membership

WRITER = "the register"  # no member code can be this: they have no spaces


def choose_reader(
    *, collection: Collection, by: Membership, party: Party, schedule: bool, photos: bool
) -> SealReader:
    """Send this person or firm each month's seal from now on."""
    reader, _ = SealReader.objects.update_or_create(
        collection=collection,
        party=party,
        defaults={"schedule": schedule, "photos": photos, "added_by": by.code},
    )
    return reader


def end_reader(reader: SealReader) -> None:
    """Send them no more; what was sent stays in the list of letters."""
    reader.delete()


@dataclass(frozen=True)
class Bundle:
    """What may go with this month's seal, read before the book is locked."""

    schedule: enclosures.Enclosed | None
    hashes: enclosures.Enclosed
    pictures: enclosures.Pictures


def write_seals(collection: Collection, *, now: datetime) -> list[Letter]:
    """This month's seal to everybody who is to have it and was not written to yet."""
    key = key_of(collection, now)
    waiting = [one for one in readers(collection) if one.party.email]
    waiting = [one for one in waiting if one.party_id not in written_to(collection, key)]
    if not waiting or before_doors(collection, now) or not proof.root_of(collection)[0]:
        return []
    bundle = bundle_for(collection, waiting)
    with transaction.atomic(), open_book(collection, WRITER) as book:
        # Asked again with the book locked: two runs at once must not seal twice.
        waiting = [one for one in waiting if one.party_id not in written_to(collection, key)]
        if not waiting:
            return []
        codes = [one.party.code for one in waiting]
        made = sealing.seal(
            collection=collection, by=WRITER, held_by=codes, went_to="by mail, every month"
        )
        book.flush()
        kept = seal_at(collection, made.subject.code)
        return [letter_to(one, kept, bundle, key=key, now=now) for one in waiting]


def bundle_for(collection: Collection, waiting: list[SealReader]) -> Bundle:
    """What these readers want, as far as it is the same for all."""
    wants_list, wants_photos = (any(getattr(one, n) for one in waiting) for n in WANTED)
    return Bundle(
        enclosures.schedule(collection) if wants_list else None,
        enclosures.hashes(collection),
        enclosures.pictures(collection) if wants_photos else enclosures.Pictures(None),
    )


WANTED = ("schedule", "photos")


def letter_to(reader: SealReader, kept: Kept, bundle: Bundle, *, key: str, now: datetime) -> Letter:
    """One reader's letter with what goes with it, waiting to be sent."""
    collection = reader.collection
    going = [*enclosures.of_seal(collection, kept), bundle.hashes]
    going += [bundle.schedule] if reader.schedule and bundle.schedule else []
    pictures = bundle.pictures if reader.photos else enclosures.Pictures(None)
    going += [pictures.enclosed] if pictures.enclosed else []
    letter = Letter.objects.create(
        collection=collection,
        party=reader.party,
        key=key,
        address=reader.party.email,
        subject=f"{collection.name}: seal of the book, {kept.seal.size} entries",
        body=_body(collection, kept, going, pictures.left_out),
        made_at=now,
    )
    Enclosure.objects.bulk_create(
        Enclosure(letter=letter, name=one.name, media_type=one.media_type, data=one.data)
        for one in going
    )
    return letter


def _body(collection: Collection, kept: Kept, going: list, left_out: int) -> str:
    said = [
        f"Please keep this letter. It seals the book of {collection.name} as it stood:",
        f"{kept.seal.size} entries, root {kept.seal.root}",
        "If the book is ever in doubt, these two numbers show whether anything that was in it "
        "then has been changed, taken out or put in since. They show neither when something "
        "happened nor that what was written is true.",
        "Enclosed: " + ", ".join(one.name for one in going) + ".",
    ]
    if left_out:
        said.append(f"{left_out} pictures found no room; their hashes are in the list.")
    return "\n\n".join(said) + "\n"
