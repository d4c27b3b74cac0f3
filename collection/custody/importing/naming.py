"""Find what the rows of an inventory name, or make it: makers, designs, places, parties."""

from dataclasses import dataclass

from collection.catalogue.actions import add_circuit, add_design, add_maker
from collection.catalogue.models import Circuit, Design, Maker
from collection.catalogue.spreadsheet.cells import folded_words
from collection.catalogue.spreadsheet.plan import PlannedPiece
from collection.custody.actions import add_party, add_place
from collection.custody.importing.entries import Named
from collection.custody.importing.queries import Known
from collection.custody.importing.whereabouts import (
    ONLY_PERSON,
    code_of,
    is_private,
    key_of,
    kind_of,
    place_words,
)
from collection.ledger.codes import PREFIXES, following
from registry.access.models import Collection, Membership


@dataclass
class Naming:
    """Finds by what is known, makes what is not, and never a code that a row has claimed."""

    collection: Collection
    by: Membership | str
    known: Known
    spellings: dict[str, str]

    def maker(self, row: PlannedPiece) -> Maker | None:
        """The maker of a row."""
        key = folded_words(row.maker)
        if key and key not in self.known.makers:
            made = add_maker(collection=self.collection, name=row.maker)
            self.known.makers[key] = made
        return self.known.makers.get(key)

    def design(self, row: PlannedPiece, maker: Maker | None) -> Design | None:
        """The design of a row, of its maker."""
        key = (maker.pk if maker else None, folded_words(row.design))
        if row.design and key not in self.known.designs:
            self.known.designs[key] = add_design(
                collection=self.collection,
                maker=maker,
                kind=row.kind,
                name=row.design,
                family=row.family,
            )
        return self.known.designs.get(key) if row.design else None

    def circuit(self, row: PlannedPiece) -> Circuit | None:
        """The circuit of a row."""
        key = folded_words(row.circuit)
        if key and key not in self.known.circuits:
            made = add_circuit(collection=self.collection, name=row.circuit)
            self.known.circuits[key] = made
        return self.known.circuits.get(key)

    def codes(self, row: PlannedPiece) -> Named:
        """Codes of where a row says the piece is, who has it and who owns it."""
        words = place_words(row)
        return Named(
            place=self._place(key_of(words)) if words else "",
            holder=self._party(row.holder),
            owner=self._party(row.owner),
        )

    def _place(self, key: str) -> str:
        if key not in self.known.places:
            name = self.spellings[key]
            own = code_of(name)
            with_person = key.startswith(key_of(ONLY_PERSON.format("")))
            self.known.places[key] = add_place(
                collection=self.collection,
                by=self.by,
                name=name,
                kind=kind_of(name),
                code=self._claim(own)
                if own and own not in self.known.codes
                else self._next("place"),
                private=with_person or is_private(name),
            )
        return self.known.places[key].code

    def _party(self, name: str) -> str:
        key = folded_words(name)
        if not key:
            return ""
        if key not in self.known.parties:
            code = self._next("party")
            made = add_party(collection=self.collection, by=self.by, name=name, code=code)
            self.known.parties[key] = made
        return self.known.parties[key].code

    def _next(self, kind: str) -> str:
        return self._claim(following(PREFIXES[kind], list(self.known.codes)))

    def _claim(self, code: str) -> str:
        self.known.codes.add(code)
        return code
