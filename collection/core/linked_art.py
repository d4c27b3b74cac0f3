"""Linked records of a piece and what became of it, as JSON-LD of the Linked Art model.

Source: linked.art/model (CC BY 4.0), its context at linked.art/ns/v1/linked-art.json, and the Art &
Architecture Thesaurus for its numbers. What passes through here was chosen before: nothing is
kept back by this module.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

Json = dict[str, Any]
CONTEXT: Final = "https://linked.art/ns/v1/linked-art.json"
AAT: Final = "http://vocab.getty.edu/aat/"
# Numbers of the thesaurus by what they mean here; the words are its preferred ones.
TERMS: Final = {
    "primary name": ("300404670", "Primary Name"),
    "display": ("300404669", "Display Title"),
    "accession": ("300312355", "Accession Number"),
    "owner's number": ("300404621", "Owner-Assigned Number"),
    "description": ("300435416", "Description"),
    "inscription": ("300435414", "Inscription"),
    "material": ("300435429", "Material Statement"),
    "dimension": ("300435430", "Dimension Statement"),
    "provenance": ("300435438", "Provenance Statement"),
    "brief text": ("300418049", "Brief Text"),
    "activity": ("300055863", "Provenance Activity"),
    "theft": ("300055292", "Theft"),
    "loss": ("300417655", "Loss"),
    "loan": ("300417645", "Loan"),
    "return": ("300438467", "Return of Loan"),
    "purchase": ("300077989", "Purchase"),
    "weight": ("300056240", "Weight"),
    "kilograms": ("300379226", "kilograms"),
}


@dataclass(frozen=True)
class Handing:
    """One act of a piece's provenance.

    `says`: the act in one line. `title`: ownership passes; `custody`: the hands it is in change.
    `from_whom`, `to_whom`: roles or names, '' where nobody is known or nobody received it;
    `sort`: a key of TERMS for the act as a whole or for the custody, ''. `moved_from`, `moved_to`:
    places by name; `moved` whether it was carried from one to another.
    """

    id: str
    says: str
    sort: str = ""
    title: bool = False
    custody: bool = False
    moved: bool = False
    from_whom: str = ""
    to_whom: str = ""
    moved_from: str = ""
    moved_to: str = ""
    when: Json | None = None


def typed(term: str) -> Json:
    """A term of the thesaurus."""
    number, words = TERMS[term]
    return {"id": f"{AAT}{number}", "type": "Type", "_label": words}


def name(content: str, *, term: str = "") -> Json:
    """A name, classified where `term` says how."""
    return _classified({"type": "Name", "content": content}, term)


def identifier(content: str, *, term: str = "", label: str = "") -> Json:
    """A number or code; `label` says what it is where the thesaurus has no term for it."""
    made: Json = {"type": "Identifier", "content": content}
    return _classified(made | ({"_label": label} if label else {}), term)


def statement(content: str, *, term: str) -> Json:
    """A text about the piece of one sort."""
    sort = typed(term) | {"classified_as": [typed("brief text")]}
    return {"type": "LinguisticObject", "classified_as": [sort], "content": content}


def weight(grams: int) -> Json:
    """A mass in kilograms."""
    unit = typed("kilograms") | {"type": "MeasurementUnit"}
    return _classified({"type": "Dimension", "value": grams / 1000, "unit": unit}, "weight")


def time_span(earliest: date | None, latest: date | None, *, said: str) -> Json | None:
    """From the first instant to the last, in UTC as the model has it; an open end is left out."""
    if earliest is None and latest is None:
        return None
    made: Json = {"type": "TimeSpan"}
    if said:
        made["identified_by"] = [name(said, term="display")]
    if earliest is not None:
        made["begin_of_the_begin"] = f"{earliest.isoformat()}T00:00:00Z"
    if latest is not None:
        made["end_of_the_end"] = f"{latest.isoformat()}T23:59:59Z"
    return made


def production(maker: str, when: Json | None) -> Json | None:
    """Who made it and when; None where neither is known."""
    made: Json = {"type": "Production"}
    if maker:
        made["carried_out_by"] = [{"type": "Group", "_label": maker}]
    if when is not None:
        made["timespan"] = when
    return made if len(made) > 1 else None


def modification(says: str, when: Json | None) -> Json:
    """A repair or a change to the piece."""
    made: Json = {"type": "Modification", "_label": says}
    return made if when is None else made | {"timespan": when}


def human_made(id: str, label: str, **properties: Any) -> Json:
    """The record of a piece; properties that are empty are left out."""
    kept = {key: value for key, value in properties.items() if value}
    return {"@context": CONTEXT, "id": id, "type": "HumanMadeObject", "_label": label} | kept


def provenance_activity(handing: Handing, *, piece: Json) -> Json:
    """The record of one act: its parts are title, custody and the move, as far as each happened."""
    made: Json = {
        "@context": CONTEXT,
        "id": handing.id,
        "type": "Activity",
        "_label": handing.says,
        "classified_as": [typed("activity")],
        "part": [*_title(handing, piece), *_custody(handing, piece), *_move(handing, piece)],
    }
    if handing.sort == "purchase":
        made["classified_as"].append(typed("purchase"))
    return made if handing.when is None else made | {"timespan": handing.when}


def _title(handing: Handing, piece: Json) -> Sequence[Json]:
    if not handing.title:
        return ()
    made: Json = {"type": "Acquisition", "transferred_title_of": [piece]}
    return (_between(made, "transferred_title", handing),)


def _custody(handing: Handing, piece: Json) -> Sequence[Json]:
    if not handing.custody:
        return ()
    made: Json = {"type": "TransferOfCustody", "transferred_custody_of": [piece]}
    if handing.sort and handing.sort != "purchase":
        made["classified_as"] = [typed(handing.sort)]
    return (_between(made, "transferred_custody", handing),)


def _between(made: Json, what: str, handing: Handing) -> Json:
    if handing.from_whom:
        made[f"{what}_from"] = [_actor(handing.from_whom)]
    if handing.to_whom:
        made[f"{what}_to"] = [_actor(handing.to_whom)]
    return made


def _move(handing: Handing, piece: Json) -> Sequence[Json]:
    if not handing.moved:
        return ()
    made: Json = {"type": "Move", "moved": [piece]}
    if handing.moved_from:
        made["moved_from"] = {"type": "Place", "_label": handing.moved_from}
    if handing.moved_to:
        made["moved_to"] = {"type": "Place", "_label": handing.moved_to}
    return (made,)


def _actor(words: str) -> Json:
    # Known by role only, so nobody can tell a person from a firm: a group may have one member.
    return {"type": "Group", "_label": words}


def _classified(made: Json, term: str) -> Json:
    return made | {"classified_as": [typed(term)]} if term else made
