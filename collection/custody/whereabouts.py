"""Places in words: the chain of a place, and what a viewer may not know of it."""

from dataclasses import dataclass
from functools import cached_property

from collection.custody.models import Place
from registry.access.models import Membership

PRIVATE = "a private place"
TRAVELS = (Place.Kind.CASE, Place.Kind.TRUCK)


@dataclass(frozen=True)
class Whereabouts:
    """Every place of a collection, read once; `sees_private` decides what is said of them."""

    rows: dict[int, Place]
    sees_private: bool

    def words(self, subject_id: int | None) -> str:
        """'Carlisle warehouse, bay 2'; 'a private place' where it may not be known; '' nowhere."""
        if subject_id not in self.rows:
            return ""
        if self.hidden(subject_id):
            return PRIVATE
        return ", ".join(place.name for place in self.chain(subject_id))

    def named(self, code: str) -> str:
        """The words of a place by its code; the code itself when it is no place."""
        place = self.by_code.get(code)
        return self.words(place.pk) if place else code

    def named_then(self, code: str) -> str:
        """Words for an entry of the past: where a case or truck stood then is not in its code."""
        place = self.by_code.get(code)
        if place is None or self.hidden(place.pk):
            return self.named(code)
        chain = self.chain(place.pk)
        moving = max((at for at, one in enumerate(chain) if one.kind in TRAVELS), default=0)
        return ", ".join(one.name for one in chain[moving:])

    def name(self, subject_id: int | None) -> str:
        """The place's own name, without what it stands inside."""
        if subject_id not in self.rows:
            return ""
        return PRIVATE if self.hidden(subject_id) else self.rows[subject_id].name

    def hidden(self, subject_id: int) -> bool:
        """Whether this member may not know it: it stands in a private place, or is one."""
        return not self.sees_private and self.private(subject_id)

    def private(self, subject_id: int) -> bool:
        """Whether the place, or one it stands inside, is private."""
        return any(place.private for place in self.chain(subject_id))

    def chain(self, subject_id: int) -> list[Place]:
        """From the outermost place inwards."""
        codes = self.rows[subject_id].path.strip("/").split("/")
        return [self.by_code[code] for code in codes if code in self.by_code]

    def town(self, subject_id: int) -> str:
        """The town of the nearest place inwards that has one, '' when hidden or unknown."""
        if self.hidden(subject_id):
            return ""
        return next((p.town for p in reversed(self.chain(subject_id)) if p.town), "")

    def shown(self) -> list[Place]:
        """Places this member may know, as the tree runs."""
        return [p for p in self.in_order if not self.hidden(p.pk)]

    @cached_property
    def in_order(self) -> list[Place]:
        """All places, each below what it stands inside, siblings by name; shipments are none."""
        names = {place.code: place.name.casefold() for place in self.rows.values()}

        def key(place: Place) -> list[tuple[str, str]]:
            return [(names.get(c, ""), c) for c in place.path.strip("/").split("/")]

        standing = (row for row in self.rows.values() if row.kind != Place.Kind.ON_THE_WAY)
        return sorted(standing, key=key)

    @cached_property
    def by_code(self) -> dict[str, Place]:
        """Every place by its code."""
        return {place.code: place for place in self.rows.values()}


def whereabouts(member: Membership) -> Whereabouts:
    """All places of the member's collection, in one query."""
    return Whereabouts(*known_to(member))


def known_to(member: Membership) -> tuple[dict[int, Place], bool]:
    """The places of the member's collection by key, and whether private ones are told."""
    rows = Place.objects.of(member.collection).select_related("subject")
    return {place.pk: place for place in rows}, member.records
