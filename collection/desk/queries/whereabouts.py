"""Places as the pages of pieces say them: by code, as choices, with all that is inside."""

from collection.custody.whereabouts import Whereabouts, known_to
from registry.access.models import Membership


class Places(Whereabouts):
    """Every place of a collection, read once, with what lists and filters ask of it."""

    def code(self, subject_id: int | None) -> str:
        """The code of a place that may be shown."""
        if subject_id not in self.rows or self.hidden(subject_id):
            return ""
        return self.rows[subject_id].code

    def inside(self, code: str) -> set[int]:
        """Subjects of a place and of everything in it; nothing of what is hidden."""
        top = self.by_code.get(code)
        if top is None:
            return set()
        shown = (pk for pk in self.rows if not self.hidden(pk))
        return {pk for pk in shown if top in self.chain(pk)}

    def choices(self) -> list[tuple[str, str]]:
        """(code, words) of what may be shown, for a form."""
        named = ((place.code, self.words(place.pk)) for place in self.shown())
        return sorted(named, key=lambda choice: choice[1].casefold())


def places_for(member: Membership) -> Places:
    """All places of the member's collection, in one query."""
    return Places(*known_to(member))
