"""Writing songs and set lists."""

from collections.abc import Iterable

from django.db import transaction
from django.utils.text import slugify

from collection.catalogue.models import Piece
from collection.road.models import Show, Tour
from collection.road.songs.models import SetListEntry, Song
from registry.access.models import Collection


@transaction.atomic
def add_song(
    *,
    collection: Collection,
    title: str,
    instruments: Iterable[Piece] = (),
    note: str = "",
    code: str = "",
) -> Song:
    """A song with what it is played on."""
    taken = set(Song.objects.of(collection).values_list("code", flat=True))
    song = Song.objects.create(
        collection=collection, title=title, note=note, code=code or _code(title, taken)
    )
    song.instruments.set(instruments)
    return song


def _code(title: str, taken: set[str]) -> str:
    plain = slugify(title)[:36] or "song"
    numbered = (f"{plain}-{number}" for number in range(2, len(taken) + 3))
    return plain if plain not in taken else next(one for one in numbered if one not in taken)


@transaction.atomic
def change_song(*, song: Song, title: str, instruments: Iterable[Piece], note: str) -> Song:
    """Change a song's title, note and what it is played on."""
    song.title, song.note = title, note
    song.save(update_fields=["title", "note"])
    song.instruments.set(instruments)
    return song


@transaction.atomic
def write_set_list(
    *, tour: Tour, titles: Iterable[str], show: Show | None = None
) -> list[SetListEntry]:
    """The songs of a tour in order, or of one show; a title not known yet is a new song.

    No title at all takes the list away: the show plays the tour's again.
    """
    SetListEntry.objects.filter(tour=tour, show=show).delete()
    known = {song.title.casefold(): song for song in Song.objects.of(tour.collection)}
    made = []
    for number, title in enumerate(titles, start=1):
        song = known.get(title.casefold()) or add_song(collection=tour.collection, title=title)
        known[title.casefold()] = song
        made.append(SetListEntry(tour=tour, show=show, number=number, song=song))
    return SetListEntry.objects.bulk_create(made)
