"""Places and people as choices of a form: the likely ones first, never a code without a name."""

from datetime import datetime

from collection.core.fold_text import folded
from collection.custody import queries
from collection.custody.models import Party, Place
from collection.custody.tonight import venue_tonight
from collection.custody.whereabouts import Whereabouts
from registry.access.models import Collection

Grouped = list[tuple[str, list[tuple[str, str]]]]
NOT_SAID = ("", "not written down")


def place_choices(collection: Collection, known: Whereabouts, *, tonight: str = "") -> Grouped:
    """Places this member may know: tonight's venue, those lately used, then all by name; 1 query.

    `tonight` is the code of the venue of today's show, '' for none.
    """
    here = [p for p in (known.by_code.get(tonight),) if p and not known.hidden(p.pk)]
    lately = [p for p in queries.recent_places(collection, known) if p not in here]
    rest = [place for place in known.shown() if place not in (*here, *lately)]
    return [
        *([("tonight", [_of_place(place, known) for place in here])] if here else []),
        ("lately", [_of_place(place, known) for place in lately]),
        ("all places", [_of_place(place, known) for place in rest]),
    ]


def near_first(collection: Collection, known: Whereabouts, *, now: datetime) -> Grouped:
    """Places to choose from: tonight's venue, those lately used, the rest under a heading."""
    return place_choices(collection, known, tonight=venue_tonight(collection, now))


def _of_place(place: Place, known: Whereabouts) -> tuple[str, str]:
    words, town = known.words(place.pk), known.town(place.pk)
    apart = f" ({town})" if town and town not in words else ""
    return place.code, f"{words}{apart}"


def party_choices(collection: Collection, *likely: str) -> Grouped:
    """People and firms, those first whose part here has one of these words; 1 query."""
    rows = list(queries.parties(collection))
    first = [row for row in rows if any(word in folded(row.does) for word in likely)]
    rest = [row for row in rows if row not in first]
    return [
        ("likely", [_of_party(row) for row in first]),
        ("everybody", [_of_party(row) for row in rest]),
    ]


def _of_party(row: Party) -> tuple[str, str]:
    return row.code, f"{row.name}, {row.does}" if row.does else row.name
