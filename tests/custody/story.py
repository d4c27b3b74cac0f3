"""A small story from the demo's world: a warehouse, a dressing room, three pieces in cases."""

from dataclasses import dataclass

from collection.catalogue.actions import add_piece
from collection.catalogue.models import Piece
from collection.custody import actions
from collection.custody.models import Incident, Party, Place
from collection.ledger.models import State
from registry.access.models import Collection, Membership

LAST_SEEN = "2026-03-14T10:50:00+01:00"
FOUND_GONE = "2026-03-14T12:15:00+01:00"


@dataclass(frozen=True)
class Story:
    """What the tests of custody and papers stand on."""

    collection: Collection
    by: Membership
    warehouse: Place
    home: Place
    room: Place
    case: Place
    repairer: Party
    pieces: dict[str, Piece]

    def state(self, code: str) -> State:
        """What the book says of a code now."""
        return State.objects.of(self.collection).get(subject__code=code)

    def stolen(self, *codes: str, **known) -> Incident:
        """The theft in Hamburg."""
        return actions.report_theft(
            collection=self.collection,
            by=self.by,
            pieces=codes or ("G-003", "E-004"),
            place=self.room,
            last_seen=LAST_SEEN,
            found_gone=FOUND_GONE,
            **{"place_words": "locked dressing room", **known},
        )


def a_story(collection: Collection, by: Membership) -> Story:
    """Build it through the actions that pages call."""
    given = {"collection": collection, "by": by}
    warehouse = actions.add_place(
        **given, name="Warehouse", kind="site", town="Carlisle", country="GB", zone="Europe/London"
    )
    home = actions.add_place(
        **given, name="Saltings", kind="house", town="Kirkcudbright", country="GB", private=True
    )
    room = actions.add_place(
        **given, name="Hafenhalle", kind="venue", town="Hamburg", country="DE",
        zone="Europe/Berlin",
    )  # fmt: skip
    case = actions.add_place(**given, name="Case 03", kind="case", code="CASE-03", inside=warehouse)
    repairer = actions.add_party(**given, name="Jonah Rae", does="repairer")
    return Story(collection, by, warehouse, home, room, case, repairer, _pieces(collection, by))


def _pieces(collection: Collection, by: Membership) -> dict[str, Piece]:
    described = {
        "G-003": ("instrument", "Long Eight", "L8-5I-04B7", "MV-7F-03",
                  ["filled screw hole by the end plate", "chip at the second fret"], 4_100),
        "E-004": ("effect", "Return One", "R1-8406", "MV-7F-19", ["one foot is brass"], 9_000),
        "A-007": ("amplifier", "Harbour 50", "HB 1147", "MV-7F-22", ["burn by the handle"], 26_000),
    }  # fmt: skip
    return {
        code: add_piece(
            collection=collection, by=by, code=code, kind=kind, name=name, serial=serial,
            hidden_mark=hidden, marks=marks, mass_grams=grams, finish="dark stain",
            value_minor=940_000, value_currency="EUR",
        )
        for code, (kind, name, serial, hidden, marks, grams) in described.items()
    }  # fmt: skip
