"""Linked records are of the published model and say nothing private.

Held against two things outside the project: the classes of the package `cromulent` 1.0.1, which
raise for a property a class does not have and for a value of the wrong class; and a JSON Schema
written after the documentation's tables (`schema.py`), checked by `jsonschema`.
"""

import json

import pytest
from cromulent.model import DataError
from cromulent.reader import Reader
from jsonschema import Draft202012Validator, FormatChecker

from collection.bench.actions import modify, repair
from collection.catalogue.actions import add_maker, describe
from collection.catalogue.queries import pieces
from collection.core.events.lent import Lent
from collection.core.events.returned import Returned
from collection.core.events.sold import Sold
from collection.custody import actions as custody
from collection.ledger.actions import open_book
from collection.ledger.telling import Telling
from registry.access.roles import Role
from tests.builders import a_collection, a_member, client_of
from tests.papers.dossier.story import CODE, OWNER, SELLER, a_history
from tests.papers.linked.schema import ACTIVITY, OBJECT

pytestmark = pytest.mark.django_db
HIDDEN = (SELLER, OWNER, "Kirkcudbright", "MV-7F-42", "620000", "6200", "Borrower Burns")


@pytest.fixture
def history():
    """The dossier's piece, then a move, a loan and back, a theft and recovery, work, a sale."""
    collection = a_collection()
    made = a_history(collection, a_member(collection, role=Role.KEEPER))
    who = {"collection": collection, "by": made.by}
    piece = pieces(collection).get(code=CODE)
    maker = add_maker(collection=collection, name="Holm Electric")
    told = {"maker": maker, "mass_grams": 21500, "materials": "ash, steel", "marks": ["burn"]}
    describe(piece=piece, by=made.by, changes=told)
    custody.add_party(**who, name="Borrower Burns", code="N-703", outward="a borrower")
    custody.add_place(**who, name="Carlisle bay", kind="site", code="P-702")
    custody.move(**who, code=CODE, to="P-702", telling=Telling("2026-02-28"))
    custody.add_place(**who, name="Ayr hall", kind="venue", code="P-703")
    custody.move(**who, code=CODE, to="P-703", telling=Telling("2026-03-01"))
    _say(made, Lent(to="N-703", reason="one record"), Telling("2026-03-02"))
    _say(made, Returned(from_whom="N-703", at="P-702"), Telling("2026-03-09"))
    custody.report_theft(**who, pieces=[CODE], telling=Telling("2026-04-01"))
    custody.recover(**who, code=CODE, at="P-702", telling=Telling("2026-04-10"))
    repair(**who, code=CODE, what="New filter capacitors", telling=Telling("2026-05"))
    modify(**who, code=CODE, what=f"Cap swapped by {SELLER}", telling=Telling("2026-06"))
    _say(made, Sold(to="N-703"), Telling("2026-07-01"))
    return made


def _say(history, facts, telling):
    with open_book(history.collection, history.by) as book:
        return book.append(facts, CODE, telling)


def read(history, rest=""):
    answer = client_of(history.by).get(f"/{history.collection.slug}/papers/linked/{CODE}/{rest}")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/ld+json"
    return json.loads(answer.content)


def check(record, schema):
    found = Draft202012Validator(schema, format_checker=FormatChecker()).iter_errors(record)
    assert [(list(one.path), one.message) for one in found] == []


def acts_of(history):
    return {one["_label"]: one for one in read(history, "provenance/")}


def custody_of(act):
    return next(part for part in act["part"] if part["type"] == "TransferOfCustody")


def terms(record):
    return {one["id"].rsplit("/", 1)[-1] for one in record.get("classified_as", ())}


def test_the_record_of_a_piece_is_rebuilt_by_the_published_classes(history):
    record = read(history)
    check(record, OBJECT)
    built = Reader().read(json.loads(json.dumps(record)))
    assert built.produced_by.timespan.begin_of_the_begin.startswith("1965-01-01T00:00:00")
    assert {one.content for one in built.identified_by} >= {"Harbour 50", CODE, "5O2-I6407"}
    assert built.dimension[0].value == 21.5


def test_every_act_is_rebuilt_by_the_published_classes(history):
    records = read(history, "provenance/")
    assert len(records) == 9
    for record in records:
        check(record, ACTIVITY)
        assert Reader().read(json.loads(json.dumps(record))).part


def test_each_act_has_a_record_of_its_own_at_its_address(history):
    first = read(history, "provenance/")[0]
    rest = first["id"].split(f"/linked/{CODE}/")[1]
    assert read(history, rest) == first
    missing = f"/{history.collection.slug}/papers/linked/{CODE}/provenance/99999/"
    assert client_of(history.by).get(missing).status_code == 404


# Numbers of the Art & Architecture Thesaurus: theft 300055292, loan 300417645, return 300438467,
# purchase 300077989, provenance activity 300055863 (linked.art/model/provenance).
def test_a_theft_passes_custody_to_nobody_known_and_no_title(history):
    theft = acts_of(history)["Theft"]
    (part,) = theft["part"]
    assert part["type"] == "TransferOfCustody"
    assert terms(part) == {"300055292"}
    assert "transferred_custody_to" not in part
    assert part["transferred_custody_from"] == [{"type": "Group", "_label": "the collection"}]


def test_a_loan_and_its_return_pass_custody_there_and_back(history):
    acts = acts_of(history)
    lent, back = custody_of(acts["Loan"]), custody_of(acts["Return from a loan"])
    assert terms(lent) == {"300417645"}
    assert terms(back) == {"300438467"}
    assert lent["transferred_custody_to"] == back["transferred_custody_from"]
    assert lent["transferred_custody_to"] == [{"type": "Group", "_label": "a borrower"}]


def test_a_purchase_passes_title_and_custody_to_roles(history):
    bought = acts_of(history)["Purchase"]
    assert {part["type"] for part in bought["part"]} == {"Acquisition", "TransferOfCustody"}
    assert terms(bought) == {"300055863", "300077989"}
    assert bought["part"][0]["transferred_title_from"][0]["_label"] == "a pub player"
    assert bought["timespan"]["begin_of_the_begin"] == "2011-05-02T00:00:00Z"
    assert bought["timespan"]["end_of_the_end"] == "2011-05-02T23:59:59Z"


def test_a_move_from_a_private_place_names_only_where_it_went(history):
    moves = [one for one in read(history, "provenance/") if one["_label"] == "Move"]
    to = [one["part"][0].get("moved_to", {}).get("_label") for one in moves]
    assert to == ["Carlisle bay", "Ayr hall", None]  # the private one was recorded today
    from_where = [one["part"][0].get("moved_from", {}).get("_label") for one in moves]
    assert from_where == [None, "Carlisle bay", None]


def test_work_whose_words_name_somebody_stays_back(history):
    changes = {one["_label"] for one in read(history)["modified_by"]}
    assert changes == {"Repaired: New filter capacitors"}


def test_no_person_private_place_mark_or_value_is_in_any_record(history):
    said = json.dumps([read(history), read(history, "provenance/")], ensure_ascii=False)
    for hidden in (*HIDDEN, history.by.name):
        assert hidden not in said, hidden


def test_the_published_classes_refuse_a_property_they_do_not_have(history):
    record = read(history) | {"colour": "red"}
    with pytest.raises(DataError):
        Reader().read(record)


def test_the_schema_refuses_a_day_that_does_not_exist(history):
    record = read(history)
    record["produced_by"]["timespan"]["begin_of_the_begin"] = "1965-02-31T00:00:00Z"
    with pytest.raises(AssertionError):
        check(record, OBJECT)


def test_an_end_that_nobody_knows_is_left_out(history):
    piece = pieces(history.collection).get(code=CODE)
    describe(piece=piece, by=history.by, changes={"year": "1965/.."})
    span = read(history)["produced_by"]["timespan"]
    assert "end_of_the_end" not in span
    assert span["begin_of_the_begin"] == "1965-01-01T00:00:00Z"
