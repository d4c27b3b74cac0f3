"""One amplifier with a history that has everything a dossier must show or keep to itself."""

from dataclasses import dataclass, field

from collection.bench.originality.actions import add_document, check_originality
from collection.catalogue.actions import add_photo, add_piece
from collection.core.events.acquired import Acquired
from collection.core.events.noted import Noted
from collection.core.events.valued import Valued
from collection.custody import actions as custody
from collection.ledger.actions import ask, correct, open_book
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership
from tests.catalogue.photo_samples import drawn, saved

CODE = "A-707"
SELLER, OWNER = "Elspeth Muir", "Mirren Vale"


@dataclass
class History:
    """The piece's entries by what they are for."""

    collection: Collection
    by: Membership
    entries: dict[str, Event] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """Where its dossier is chosen."""
        return f"/{self.collection.slug}/papers/dossier/{CODE}/"

    def number(self, name: str) -> int:
        """The number of an entry."""
        return self.entries[name].sequence


def a_history(collection: Collection, by: Membership) -> History:
    """Bought from a person, valued, at home, judged, photographed, corrected, asked about."""
    who = {"collection": collection, "by": by}
    made = History(collection, by)
    piece = add_piece(
        **who, code=CODE, kind="amplifier", name="Harbour 50", serial="5O2-I6407", year="1965",
        hidden_mark="MV-7F-42", value_minor=620000, value_currency="EUR",
    )  # fmt: skip
    custody.add_party(**who, name=SELLER, code="N-701", outward="a pub player")
    custody.add_party(**who, name=OWNER, code="N-702")
    custody.add_place(**who, name="Kirkcudbright cellar", kind="house", code="P-701", private=True)
    bought = Acquired("bought", from_whom="N-701", direct=True, owner="N-702")
    made.entries["acquired"] = _say(made, bought, Telling("2011-05-02", source="document"))
    made.entries["valued"] = _say(made, Valued(620000, "EUR", "schedule"), Telling())
    with open_book(collection, by):
        custody.move(**who, code=CODE, to="P-701")
    made.entries["home"] = Event.objects.of(collection).filter(kind="moved").last()
    first = _say(made, Noted("who had it"), Telling("1968", words="Played in Leith."))
    made.entries["struck"] = first
    made.entries["corrected"] = correct(
        **who, event=first, facts={"about": "who had it"},
        telling=Telling("1968/1972", words="Played in Leith, then in Ayr."),
    )  # fmt: skip
    gossip = Telling("2012", words=f"Hums, says {SELLER}.", source="told")
    made.entries["gossip"] = _say(made, Noted("sound"), gossip)
    made.entries["judged"] = check_originality(
        **who, code=CODE, position="mains transformer", judgement="original", made="1965-03"
    )
    made.entries["document"] = add_document(**who, code=CODE, what="invoice", dated="1966")
    made.entries["asked"] = ask(**who, question="Which winder?", about=CODE)
    add_photo(**who, subject=piece.subject, data=saved(drawn(), "PNG"), view="front")
    return made


def _say(made: History, facts, telling: Telling) -> Event:
    with open_book(made.collection, made.by) as book:
        return book.append(facts, CODE, telling)
