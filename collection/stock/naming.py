"""What the pages of the stock call a place or a person that the book has by a code."""

from collection.catalogue.told import Naming
from collection.custody.queries import parties
from collection.custody.whereabouts import whereabouts
from registry.access.models import Membership


def naming_for(member: Membership) -> Naming:
    """Names for codes of places this member may know and of parties; other codes stay; 3 queries.

    A place is called by its own name: where a case stood when the entry was written, nobody says.
    """
    known = whereabouts(member)
    called = dict(parties(member.collection).values_list("code", "name"))

    def name(code: str) -> str:
        place = known.by_code.get(code)
        return known.name(place.pk) if place else called.get(code, code)

    return name
