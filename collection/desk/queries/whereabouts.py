"""Places in words: the chain of a place, and what a viewer may not know."""

from dataclasses import dataclass
from functools import cached_property

from collection.custody.models import Place
from registry.access.models import Membership

TRAVELS = ("case", "truck")
A_PRIVATE_PLACE = "a private place"


@dataclass(frozen=True)
class Places:
    """Every place of a collection, read once; `member` decides what is said of them."""

    rows: dict[int, Place]
    sees_private: bool

    def words(self, subject_id: int | None) -> str:
        """'Carlisle warehouse, bay 2', '' for nowhere."""
        if subject_id not in self.rows:
            return ""
        if self.hidden(subject_id):
            return A_PRIVATE_PLACE
        return ", ".join(place.name for place in self._chain(subject_id))

    def name(self, subject_id: int | None) -> str:
        """The name of a place alone, 'case 07', without what it stands in."""
        if subject_id not in self.rows:
            return ""
        return A_PRIVATE_PLACE if self.hidden(subject_id) else self.rows[subject_id].name

    def code(self, subject_id: int | None) -> str:
        """The code of a place that may be shown."""
        if subject_id not in self.rows or self.hidden(subject_id):
            return ""
        return self.rows[subject_id].code

    def hidden(self, subject_id: int) -> bool:
        """Whether this member may not know it; what stands in a private place is private."""
        if self.sees_private:
            return False
        return any(place.private for place in self._chain(subject_id))

    def named(self, code: str) -> str:
        """The words of a place by its code; the code itself when it is no place."""
        place = self.by_code.get(code)
        return self.words(place.pk) if place else code

    def named_then(self, code: str) -> str:
        """Words for an entry of the past: where a case or truck stood then is not in its code."""
        place = self.by_code.get(code)
        if place is None or self.hidden(place.pk):
            return self.named(code)
        chain = self._chain(place.pk)
        moving = max((at for at, one in enumerate(chain) if one.kind in TRAVELS), default=0)
        return ", ".join(one.name for one in chain[moving:])

    def inside(self, code: str) -> set[int]:
        """Subjects of a place and of everything in it; nothing of what is hidden."""
        top = self.by_code.get(code)
        if top is None:
            return set()
        shown = (pk for pk in self.rows if not self.hidden(pk))
        return {pk for pk in shown if top in self._chain(pk)}

    def choices(self) -> list[tuple[str, str]]:
        """(code, words) of what may be shown, for a form."""
        shown = ((place.code, self.words(pk)) for pk, place in self.rows.items())
        return sorted(
            ((code, words) for code, words in shown if words != A_PRIVATE_PLACE),
            key=lambda choice: choice[1].casefold(),
        )

    @cached_property
    def by_code(self) -> dict[str, Place]:
        """Every place by its code."""
        return {place.code: place for place in self.rows.values()}

    def _chain(self, subject_id: int) -> list[Place]:
        """From the outermost place inwards."""
        chain: list[Place] = []
        at: int | None = subject_id
        while at in self.rows and self.rows[at] not in chain:
            chain.insert(0, self.rows[at])
            at = self.rows[at].inside_id
        return chain


def places_for(member: Membership) -> Places:
    """All places of the member's collection, in one query."""
    rows = Place.objects.of(member.collection)
    return Places({place.pk: place for place in rows}, sees_private=member.records)
