"""What stands for a parameter when every address of the site is asked for.

A new parameter in an address needs a line here, or `tests/access/test_every_address.py` fails.
The key is the parameter's name, or 'name of the address, parameter' where the name alone
means several things: `"stock:lot code"`. A sample builds what it names through actions, in the
collection of the keeper it is given; `mark` differs from collection to collection, so put it
into every code: a code that both collections have proves nothing.
"""

import secrets
from collections.abc import Callable
from datetime import date, timedelta

from django.utils import timezone

from collection.bench.sheets.actions import note_sheet
from collection.catalogue.actions import (
    add_circuit,
    add_design,
    add_maker,
    add_photo,
    add_piece,
)
from collection.core.events.asked import Asked
from collection.custody import actions as custody
from collection.custody.filed.actions import file_paper
from collection.custody.freight import actions as freight
from collection.custody.importing.actions import start as start_import
from collection.custody.loans import actions as lending
from collection.custody.models import Incident
from collection.custody.stocktake import actions as counting
from collection.desk.handover.actions import keep_key
from collection.desk.monthly.actions import choose_reader
from collection.ledger.actions import open_book
from collection.ledger.sealing.actions import seal as seal_book
from collection.papers.insurance import actions as insurance
from collection.papers.sharing.actions import hand_out
from collection.papers.sharing.shareable import Order, shareable_of
from collection.papers.theft import actions as theft
from collection.papers.theft import scene as theft_scene
from registry.access import actions
from registry.access.models import Membership
from tests.bench import samples as bench
from tests.builders import a_member, a_person
from tests.catalogue.photo_samples import drawn, saved
from tests.papers import samples as papers
from tests.road import samples as road
from tests.stock import samples as stock

Sample = Callable[[Membership, str], str]


def _a_member_code(keeper: Membership, mark: str) -> str:
    return a_member(keeper.collection, person=a_person(username=f"sample-{mark}")).code


def _a_token(keeper: Membership, mark: str) -> str:
    return actions.make_link(keeper.person, now=timezone.now(), lifetime=timedelta(days=1))


def _a_piece_code(keeper: Membership, mark: str) -> str:
    code = f"A-{mark.upper()}"
    add_piece(collection=keeper.collection, by=keeper, code=code, kind="amplifier")
    return code


def _a_move(keeper: Membership, mark: str) -> str:
    """Of the piece that the sample of `code` made."""
    place = custody.add_place(
        collection=keeper.collection, by=keeper, name=f"Hall m{mark}", kind="venue",
        code=f"P-M{mark.upper()}",
    )  # fmt: skip
    given = {"collection": keeper.collection, "by": keeper, "code": f"A-{mark.upper()}"}
    return str(custody.move(**given, to=place.code).sequence)


def _a_photo(keeper: Membership, mark: str) -> str:
    piece = add_piece(
        collection=keeper.collection, by=keeper, code=f"E-{mark.upper()}", kind="effect"
    )
    data = saved(drawn(), "PNG")
    return str(
        add_photo(
            collection=keeper.collection, by=keeper, subject=piece.subject, data=data, view="front"
        ).pk
    )


def _a_maker(keeper: Membership, mark: str) -> str:
    return str(add_maker(collection=keeper.collection, name=f"Corrie {mark}").pk)


def _a_design(keeper: Membership, mark: str) -> str:
    design = add_design(
        collection=keeper.collection, maker=None, kind="instrument", name=f"Linnet {mark}"
    )
    return str(design.pk)


def _a_circuit(keeper: Membership, mark: str) -> str:
    return str(add_circuit(collection=keeper.collection, name=f"BR-{mark}").pk)


def _a_question_code(keeper: Membership, mark: str) -> str:
    with open_book(keeper.collection, keeper) as book:
        code = book.new_subject("question", f"Q-{mark.upper()}").code
        book.append(Asked(question="Which winding?"), code)
    return code


def _a_place(keeper: Membership, mark: str) -> str:
    code = f"CASE-{mark.upper()}"
    custody.add_place(
        collection=keeper.collection, by=keeper, name=f"Case {mark}", kind="case", code=code
    )
    return code


def _a_count(keeper: Membership, mark: str) -> str:
    code = f"CASE-N{mark.upper()}"
    place = custody.add_place(
        collection=keeper.collection, by=keeper, name=f"Case n{mark}", kind="case", code=code
    )
    given = {"place": place, "code": f"COUNT-{mark.upper()}"}
    return counting.start(collection=keeper.collection, by=keeper, **given).code


def _a_party(keeper: Membership, mark: str) -> str:
    code = f"N-{mark.upper()}"
    custody.add_party(collection=keeper.collection, by=keeper, name=f"Firm {mark}", code=code)
    return code


def _a_policy(keeper: Membership, mark: str) -> str:
    insurer = custody.add_party(collection=keeper.collection, by=keeper, name=f"Insurer {mark}")
    given = {"insurer": insurer, "code": f"POL-{mark.upper()}"}
    days = {"begins_on": date(2026, 1, 1), "ends_on": date(2026, 12, 31)}
    return insurance.add_policy(collection=keeper.collection, by=keeper, **given, **days).code


def _an_incident(keeper: Membership, mark: str) -> str:
    piece = f"X-{mark.upper()}"
    add_piece(collection=keeper.collection, by=keeper, code=piece, kind="effect")
    code = f"I-{mark.upper()}"
    custody.report_theft(collection=keeper.collection, by=keeper, pieces=[piece], code=code)
    return code


def _a_filed_paper(keeper: Membership, mark: str) -> str:
    incident = Incident.objects.of(keeper.collection).get(code=_an_incident(keeper, f"7{mark}"))
    letter = b"%PDF-1.7\n" + mark.encode()
    said = {"subject": incident.subject, "by": keeper, "title": "Release", "content": letter}
    return str(file_paper(**said).pk)


def _a_theft_task(keeper: Membership, mark: str) -> str:
    incident = Incident.objects.of(keeper.collection).get(code=_an_incident(keeper, f"6{mark}"))
    asked = theft_scene.Asked()
    return str(theft.open_tasks(incident=incident, by=keeper, asked=asked)[0].pk)


def _a_seal(keeper: Membership, mark: str) -> str:
    question = _a_question_code(keeper, f"0{mark}")
    code = f"SEAL-{mark.upper()}"
    seal_book(collection=keeper.collection, by=keeper, went_to=question, code=code)
    return code


def _a_reader(keeper: Membership, mark: str) -> str:
    code = f"N-R{mark.upper()}"
    party = custody.add_party(
        collection=keeper.collection, by=keeper, name="Broker", code=code, email="b@gear.example"
    )
    choose_reader(
        collection=keeper.collection, by=keeper, party=party, schedule=False, photos=False
    )
    return code


def _a_key(keeper: Membership, mark: str) -> str:
    return str(keep_key(by=keeper, now=timezone.now(), opens=f"bay {mark}", held_by=None).pk)


def _a_sheet(keeper: Membership, mark: str) -> str:
    code = f"B-{mark.upper()}"
    add_piece(collection=keeper.collection, by=keeper, code=code, kind="amplifier")
    said = {"sheet": "settings_noted", "pairs": [("volume", "4")]}
    return str(note_sheet(collection=keeper.collection, by=keeper, code=code, **said).sequence)


def _an_import(keeper: Membership, mark: str) -> str:
    data = f"Code,What\nB-{mark.upper()},amp\n".encode()
    run = start_import(collection=keeper.collection, by=keeper, data=data, name="list.csv")
    return str(run.pk)


def _a_loan(keeper: Membership, mark: str) -> str:
    piece, party = _a_piece_code(keeper, f"9{mark}"), f"N-L{mark.upper()}"
    borrower = custody.add_party(collection=keeper.collection, by=keeper, name="A", code=party)
    terms = lending.Terms("one recording", date(2026, 11, 1), date(2026, 12, 1), "Mirren")
    pieces = [lending.Handed(piece)]
    made = {"collection": keeper.collection, "by": keeper, "code": f"LN-{mark.upper()}"}
    return lending.lend(**made, pieces=pieces, to=borrower, terms=terms).code


def _a_shipment(keeper: Membership, mark: str) -> str:
    code = f"P-F{mark.upper()}"
    made = {"collection": keeper.collection, "by": keeper}
    place = custody.add_place(**made, name=f"Hall {mark}", kind="venue", code=code)
    way = freight.Way(to=place, expected_at=timezone.now() + timedelta(days=1))
    things = [_a_piece_code(keeper, f"8{mark}")]
    return freight.ship(**made, things=things, way=way, code=f"FR-{mark.upper()}").code


def _a_paper_link(keeper: Membership, mark: str):
    code = f"L-{secrets.token_hex(3).upper()}"
    piece = add_piece(collection=keeper.collection, by=keeper, code=code, kind="effect")
    data = saved(drawn(), "PNG")
    given = {"subject": piece.subject, "data": data, "view": "front"}
    add_photo(collection=keeper.collection, by=keeper, **given)
    order = Order(piece.subject, keeper, timezone.now(), "the police")
    return hand_out(paper=shareable_of("piece")["object-id"], order=order, days=1)


def _a_paper_share(keeper: Membership, mark: str) -> str:
    return str(_a_paper_link(keeper, mark)[0].pk)


def _a_paper_token(keeper: Membership, mark: str) -> str:
    return _a_paper_link(keeper, mark)[1]


# Names of things that belong to one collection: another collection's are not found.
OWN: dict[str, Sample] = {
    "place": _a_place,
    "party": _a_party,
    "incident": _an_incident,
    "policy": _a_policy,
    "paper": _a_filed_paper,
    "task": _a_theft_task,
    "loan": _a_loan,
    "shipment": _a_shipment,
    "question": _a_question_code,
    "seal": _a_seal,
    "desk:end_monthly party": _a_reader,
    "member": _a_member_code,
    "code": _a_piece_code,
    "photo": _a_photo,
    "maker": _a_maker,
    "design": _a_design,
    "circuit": _a_circuit,
    "tour": road.a_tour,
    "show": road.a_show,
    "of": road.a_stand_in,
    "died": road.a_death,
    "fault": road.a_fault,
    "song": road.a_song,
    "item": road.a_wanted,
    "road:call of": road.something_outside,
    "goods": papers.goods_listed,
    "crossing": papers.a_crossing,
    "certificate": papers.a_certificate,
    "material": papers.a_material,
    "type": stock.a_type,
    "lot": stock.a_lot,
    "part": stock.a_part,
    "thrift": stock.a_thrift_plan,
    "sockets:take_out part": stock.a_fitted_part,
    "tube": stock.a_loose_tube,
    "stock:apart part": stock.a_set,
    "run": _an_import,
    "key": _a_key,
    "count": _a_count,
    "job": bench.a_job,
    "bench:job_unshare share": bench.a_share,
    "desk:end_calendar share": bench.a_calendar_share,
    "road:door_unshare share": road.a_door_share,
    "papers:end_link share": _a_paper_share,
    "plan": bench.a_plan,
}

# Values that mean the same in every collection, such as a day, a kind, an entry's number.
SHARED: dict[str, Sample] = {
    "position": lambda keeper, mark: "1",
    "which": lambda keeper, mark: "before",
    "gate": lambda keeper, mark: "police",
    "custody:count_unmark mark": lambda keeper, mark: "0",  # taken off by a tap before
    "country": lambda keeper, mark: "NO",
    "entry": lambda keeper, mark: "0",
    "papers:linked_act entry": _a_move,
    "bench:record_kind kind": lambda keeper, mark: "repaired",
    "sheet": _a_sheet,
    "list": lambda keeper, mark: "pieces",
    "bench:set_down sheet": lambda keeper, mark: "settings",
    "token": _a_token,
    "size": lambda keeper, mark: "thumb",
    "stock:act act": lambda keeper, mark: "receive",
    "bench:job_act act": lambda keeper, mark: "quoted",
    "bench:fault_press press": lambda keeper, mark: "again",
    "number": road.a_door_count,
    "shared:page token": _a_paper_token,
    "shared:paper token": _a_paper_token,
    "shared:photo token": _a_paper_token,
    "nth": lambda keeper, mark: "0",
    "guest:job token": bench.a_token_of_a_job,
    "doors:count token": road.a_door_token,
    "doors:tiles token": road.a_door_token,
    "doors:tap token": road.a_door_token,
    "doors:close token": road.a_door_token,
    "calendar:feed token": bench.a_calendar_token,
}

# Every address outside collections, and the answer to somebody signed out who asks for it.
OUTSIDE: dict[str, int] = {
    "light": 405,
    "access:collections": 302,
    "access:sign_in": 200,
    "access:sign_out": 405,
    "access:link": 200,
    "check:dossier": 200,
    "guest:job": 200,
    "shared:page": 200,
    "shared:paper": 200,
    "shared:photo": 404,  # the sample is a sheet: its pictures are in the file alone
    "doors:count": 200,
    "doors:tiles": 200,
    "doors:tap": 405,
    "doors:close": 405,
    "offline:worker": 200,
    "calendar:feed": 200,
    "access:password": 302,
}
