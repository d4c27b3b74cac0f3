"""A JSON Schema of the records we write, written here after the documentation's tables.

Source: linked.art/model and linked.art/api/1.0 (object and provenance activity), CC BY 4.0: which
properties a class has, which are required, which are lists. It is narrower than theirs: only what
we write is allowed, so that a misspelt property fails.
"""

from typing import Any

DATE_TIME = {"type": "string", "format": "date-time"}
LABEL = {"type": "string", "minLength": 1}
CONTEXT = {"const": "https://linked.art/ns/v1/linked-art.json"}
URI = {"type": "string", "format": "uri", "pattern": "^https?://"}


def _one(name: str, *, required: tuple[str, ...] = (), **properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {"type": {"const": name}, "_label": LABEL, **properties},
        "required": ["type", *required],
        "additionalProperties": False,
    }


def _some(item: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": item, "minItems": 1}


BRIEF = _one("Type", id=URI, required=("id",))
TYPE = _one("Type", id=URI, classified_as=_some(BRIEF))
NAME = _one("Name", content=LABEL, classified_as=_some(TYPE), required=("content",))
IDENTIFIER = _one("Identifier", content=LABEL, classified_as=_some(TYPE), required=("content",))
TEXT = _one(
    "LinguisticObject", content=LABEL, classified_as=_some(TYPE),
    required=("content", "classified_as"),
)  # fmt: skip
SPAN = _one(
    "TimeSpan", identified_by=_some(NAME), begin_of_the_begin=DATE_TIME, end_of_the_end=DATE_TIME
) | {"anyOf": [{"required": ["begin_of_the_begin"]}, {"required": ["end_of_the_end"]}]}
UNIT = _one("MeasurementUnit", id=URI, required=("id",))
DIMENSION = _one(
    "Dimension", value={"type": "number"}, unit=UNIT, classified_as=_some(TYPE),
    required=("value", "unit", "classified_as"),
)  # fmt: skip
ACTOR = {"anyOf": [_one("Person", id=URI), _one("Group", id=URI)]}
PLACE = _one("Place", id=URI, required=("_label",))
THING = _one("HumanMadeObject", id=URI, required=("id", "_label"))
PRODUCTION = _one("Production", carried_out_by=_some(ACTOR), timespan=SPAN)
MODIFICATION = _one("Modification", timespan=SPAN, required=("_label",))
ACQUISITION = _one(
    "Acquisition", transferred_title_of=_some(THING), transferred_title_from=_some(ACTOR),
    transferred_title_to=_some(ACTOR), required=("transferred_title_of",),
)  # fmt: skip
CUSTODY = _one(
    "TransferOfCustody", transferred_custody_of=_some(THING), classified_as=_some(TYPE),
    transferred_custody_from=_some(ACTOR), transferred_custody_to=_some(ACTOR),
    required=("transferred_custody_of",),
)  # fmt: skip
MOVE = _one("Move", moved=_some(THING), moved_from=PLACE, moved_to=PLACE, required=("moved",))

OBJECT = _one(
    "HumanMadeObject", id=URI, classified_as=_some(_one("Type", id=URI)),
    identified_by=_some({"anyOf": [NAME, IDENTIFIER]}), referred_to_by=_some(TEXT),
    dimension=_some(DIMENSION), produced_by=PRODUCTION, modified_by=_some(MODIFICATION),
    required=("id", "_label", "@context", "identified_by"), **{"@context": CONTEXT},
)  # fmt: skip
ACTIVITY = _one(
    "Activity", id=URI, classified_as=_some(TYPE), timespan=SPAN,
    part=_some({"anyOf": [ACQUISITION, CUSTODY, MOVE]}),
    required=("id", "_label", "@context", "classified_as", "part"), **{"@context": CONTEXT},
)  # fmt: skip
