"""What codes of places, people and shows are called, with the code behind, as the book says it."""

from functools import cached_property

from collection.custody.models import Party
from collection.desk.queries.whereabouts import Places, places_for
from collection.ledger.naming import Naming
from collection.road.models import Show
from registry.access.models import Membership


class Names:
    """Names by code, read when the first code is met: many pages of the book hold none."""

    def __init__(self, member: Membership) -> None:
        self.member = member

    def with_code(self, code: str) -> str:
        """'Carlisle warehouse, bay 2 (P-004)'; no code beside what may not be known."""
        place = self._places.by_code.get(code)
        if place and self._places.hidden(place.pk):
            return self._places.named(code)
        named = self._people.get(code) or self._shows.get(code) or self._places.named_then(code)
        return code if named == code else f"{named} ({code})"

    @cached_property
    def _places(self) -> Places:
        return places_for(self.member)

    @cached_property
    def _people(self) -> dict[str, str]:
        rows = Party.objects.of(self.member.collection)
        return {code: name for code, name in rows.values_list("code", "name") if name}

    @cached_property
    def _shows(self) -> dict[str, str]:
        rows = Show.objects.of(self.member.collection)
        known = rows.values_list("code", "number", "venue__town")
        return {code: f"show {number}, {town}" for code, number, town in known}


def names_with_codes(member: Membership) -> Naming:
    """What the pages of the book are handed."""
    return Names(member).with_code
