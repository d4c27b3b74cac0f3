"""Lending out, taking in, giving back: what is refused, what is asked, what stands side by side.

The facts a loan needs (stated reason, fixed period, agreement signed before it starts, who covers
it with evidence, who authorised): the loans-out procedure of Spectrum 5.1, the collections
standard of Collections Trust, from memory.
"""

from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from collection.bench.actions import tag_out
from collection.catalogue.models import Photo, Piece
from collection.core.state import from_json
from collection.custody.actions import add_party, add_place, move
from collection.custody.loans import actions, queries
from collection.custody.loans.models import Loan
from collection.custody.models import Party
from collection.ledger.actions import correct, withdraw
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event, State
from collection.ledger.telling import Telling
from collection.road.actions import add_show, add_tour, set_position
from registry import clock
from tests.bench.builders import a_piece
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db


def today(member) -> date:
    return clock.today(member.collection.zone_info)


@pytest.fixture
def studio(keeper):
    where = {"collection": keeper.collection, "by": keeper}
    return add_party(**where, name="A studio in Leith", code="N-030", does="borrower")


@pytest.fixture
def shelf(keeper):
    return add_place(
        collection=keeper.collection, by=keeper, name="bay 1", kind="room", code="P-010"
    )


def terms(member, *, days: int = 14, ago: int = 0, **more) -> actions.Terms:
    begins = today(member) - timedelta(days=ago)
    return actions.Terms("one recording", begins, begins + timedelta(days=days), "Mirren", **more)


def lent(member, studio, *, code: str = "", along=("footswitch",), **period) -> Loan:
    code = code or a_piece(member, goes_with="footswitch").code
    handed = [actions.Handed(code, tuple(along), "scar at the handle")]
    where = {"collection": member.collection, "by": member}
    return actions.lend(**where, pieces=handed, to=studio, terms=terms(member, **period))


def state(code: str, member):
    row = State.objects.get(collection=member.collection, subject__code=code)
    return from_json(row.detail)


def address(loan: Loan, *parts: str) -> str:
    return f"/{loan.collection.slug}/places/loans/" + "".join(f"{p}/" for p in (loan.code, *parts))


def photo(colour: int = 1) -> SimpleUploadedFile:
    return SimpleUploadedFile("a.png", saved(drawn(size=(40 + colour, 30)), "PNG"), "image/png")


def test_a_lent_piece_is_with_its_borrower_until_the_day_in_the_book(keeper, studio):
    loan = lent(keeper, studio)
    piece = loan.pieces.get().piece
    assert state(piece.code, keeper).holder == "N-030"
    event = Event.objects.get(kind="lent")
    assert event.facts["until"] == loan.ends_on.isoformat()
    assert event.facts["loan"] == loan.code == "LN-001"
    assert state(loan.code, keeper).condition == "out"


@pytest.mark.parametrize(
    ("standing", "why"),
    [("stolen", "is reported stolen"), ("quarantined", "is in quarantine"), ("sold", "is sold")],
)
def test_what_is_stolen_quarantined_or_sold_is_not_lent(keeper, studio, standing, why):
    piece = a_piece(keeper)
    row = State.objects.get(subject=piece.subject)
    row.detail, row.standing = {**row.detail, "standing": standing}, standing
    row.save()
    with pytest.raises(PlanRefused, match=why):
        lent(keeper, studio, code=piece.code, along=())
    assert not Loan.objects.exists()


def test_what_is_lent_already_is_refused_with_who_has_it(keeper, studio):
    code = lent(keeper, studio).pieces.get().piece.code
    with pytest.raises(PlanRefused, match=f"{code} is with N-030 already"):
        lent(keeper, studio, code=code)
    assert Loan.objects.count() == 1


def test_a_loan_without_an_end_cannot_be_written(keeper, studio, keeper_client):
    piece = a_piece(keeper)
    typed = {"pieces": [piece.code], "party": "N-030", "reason": "film", "authorised_by": "Mirren",
             "begins_on": "2026-11-01"}  # fmt: skip
    url = f"/{keeper.collection.slug}/places/loans/lend/"
    page = keeper_client.post(url, typed)
    assert page.status_code == 422
    assert 'value="film"' in page.content.decode()
    typed["ends_on"] = "2026-10-31"
    assert "It would end before it begins." in keeper_client.post(url, typed).content.decode()
    assert not Loan.objects.exists()


def test_lending_by_the_page_sent_twice_is_one_loan(keeper, studio, keeper_client):
    piece = a_piece(keeper, goes_with="footswitch, lead")
    typed = {
        "pieces": [piece.code], "party": "N-030", "reason": "film", "authorised_by": "Mirren",
        "begins_on": "2026-11-01", "ends_on": "2026-11-20", "along": [f"{piece.code}|lead"],
        "value": "1200.50", "insurer": "their policy", "once": "one-press",
        "condition": "clean",
    }  # fmt: skip
    url = f"/{keeper.collection.slug}/places/loans/lend/?pieces={piece.code}"
    first = keeper_client.post(url, typed | {"front": photo()})
    assert first.status_code == 302, first.content.decode()[-2000:]
    assert keeper_client.post(url, typed).status_code == 302
    loan = Loan.objects.get()
    row = loan.pieces.get()
    assert (loan.value_minor, row.goes_with) == (120050, ["lead"])
    assert Photo.objects.get(subject=piece.subject).entry == row.out_entry


def test_who_borrows_for_the_first_time_is_named_on_the_form(keeper, keeper_client):
    piece = a_piece(keeper)
    typed = {
        "pieces": [piece.code], "reason": "one song", "authorised_by": "Mirren", "once": "a-press",
        "begins_on": "2026-11-24", "ends_on": "2026-11-25",
    }  # fmt: skip
    url = f"/{keeper.collection.slug}/places/loans/lend/"
    refused = keeper_client.post(url, typed)
    assert "write the name of somebody new" in refused.content.decode()
    for _ in range(2):
        assert keeper_client.post(url, typed | {"stranger": "Support guitarist"}).status_code == 302
    assert Loan.objects.get().party.name == "Support guitarist"
    # Whoever has it already is not lent it again, and nobody enters with what was refused.
    again = keeper_client.post(url, typed | {"stranger": "Nobody at all", "once": "another"})
    assert again.status_code == 422
    assert 'value="Nobody at all"' in again.content.decode()
    assert [party.name for party in Party.objects.of(keeper.collection)] == ["Support guitarist"]


def test_what_it_is_worth_is_for_who_records(keeper, viewer, studio):
    loan = lent(keeper, studio, value_minor=987600)
    assert "9,876.00" in client_of(keeper).get(address(loan)).content.decode()
    for path in (address(loan), address(loan, "sheet")):
        assert "9,876.00" not in client_of(viewer).get(path).content.decode()
    assert "9876" not in str(Event.objects.get(kind="lent").facts)


def test_what_does_not_come_back_becomes_a_question_and_the_piece_is_unproven(
    keeper, studio, shelf
):
    loan = lent(keeper, studio, along=("footswitch", "lead"))
    typed = {"at": "P-010", "along": ["lead"], "condition": "scar at the handle, new dent"}
    page = client_of(keeper).post(address(loan, "back"), typed, follow=True).content.decode()
    code = loan.pieces.get().piece.code
    assert f"The book asks: Loan {loan.code}, went along and not back: footswitch." in page
    found = state(code, keeper)
    assert (found.holder, found.place, found.unproven_because) == (
        None, "P-010", "return from loan",
    )  # fmt: skip
    assert [e.facts["about"] for e in Event.objects.filter(kind="asked")] == [code]
    assert state(loan.code, keeper).condition == "over"
    # The page of the loan goes on saying so, after the message is gone.
    shown = client_of(keeper).get(address(loan)).content.decode().partition("Not there then")[2]
    assert "footswitch" in shown.partition("</dd>")[0]
    assert "lead" not in shown.partition("</dd>")[0]


def test_the_same_views_stand_side_by_side(keeper, studio, keeper_client):
    loan = lent(keeper, studio)
    row = loan.pieces.get()
    for moment, view, colour in (("out", "front", 1), ("out", "back", 2)):
        typed = {"piece": row.piece.code, "moment": moment, "view": view, "photo": photo(colour)}
        assert keeper_client.post(address(loan, "photo"), typed).status_code == 302
    early = {"piece": row.piece.code, "moment": "back", "view": "front", "photo": photo(3)}
    assert "is not back yet" in keeper_client.post(address(loan, "photo"), early).content.decode()
    page = keeper_client.get(address(loan, "back")).content.decode()
    assert "The same view: front" in page
    assert keeper_client.post(address(loan, "back"), {"front": photo(4)}).status_code == 302
    loan = queries.loans(keeper.collection).get(pk=loan.pk)
    pairs = queries.page_of(loan, today=today(keeper), member=keeper).pieces[0].pairs
    assert [(p.view, p.before.width, p.after.width if p.after else None) for p in pairs] == [
        ("Front", 41, 44), ("Back", 42, None),
    ]  # fmt: skip


def test_the_signed_sheet_is_kept_by_its_hash(keeper, studio, keeper_client):
    loan = lent(keeper, studio)
    assert "not signed yet" in keeper_client.get(address(loan)).content.decode()
    page = keeper_client.post(address(loan, "signed"), {"photo": photo()}, follow=True)
    kept = Photo.objects.get(subject=loan.subject)
    assert kept.sha256[:16] in page.content.decode()
    assert Event.objects.get(kind="photographed").facts["sha256"] == kept.sha256


def test_the_sheet_has_lines_for_both_to_sign(keeper, studio, keeper_client):
    page = keeper_client.get(address(lent(keeper, studio), "sheet")).content.decode()
    assert page.count('class="line"') == 4
    for said in ("A studio in Leith", "scar at the handle", "footswitch", "one recording"):
        assert said in page


def test_overdue_counts_from_the_day_after_the_end_and_ends_with_the_return(keeper, studio):
    due = lent(keeper, studio, days=10, ago=10)
    late = lent(keeper, studio, days=10, ago=13)
    found = queries.all_loans(keeper.collection, today=today(keeper))
    assert [(line.loan.code, line.overdue_days) for line in found.overdue] == [(late.code, 3)]
    assert [line.mark for line in found.lent] == ["over", "tour"]
    assert found.lent[1].loan == due
    piece = late.pieces.get().piece
    actions.give_back(loan=late, by=keeper, back=actions.Back(piece))
    found = queries.all_loans(keeper.collection, today=today(keeper))
    assert (found.overdue, [line.loan for line in found.over]) == ([], [late])


def test_a_loan_of_two_is_over_with_the_second_and_nothing_comes_back_twice(keeper, studio):
    handed = [actions.Handed(a_piece(keeper).code) for _ in range(2)]
    where = {"collection": keeper.collection, "by": keeper}
    loan = actions.lend(**where, pieces=handed, to=studio, terms=terms(keeper))
    first, second = (row.piece for row in loan.pieces.all())
    actions.give_back(loan=loan, by=keeper, back=actions.Back(first))
    assert state(loan.code, keeper).condition == "out"
    with pytest.raises(LedgerError, match="is off LN-001 already"):
        actions.give_back(loan=loan, by=keeper, back=actions.Back(first))
    actions.give_back(loan=loan, by=keeper, back=actions.Back(second))
    assert state(loan.code, keeper).condition == "over"


def test_a_new_hired_thing_enters_the_register_as_its_owners(keeper, studio, shelf, keeper_client):
    typed = {
        "name": "Hired combo", "kind": "amplifier", "hired": "yes", "party": "N-030",
        "reason": "one night", "begins_on": "2026-11-24", "ends_on": "2026-11-25",
        "authorised_by": "Ada", "at": "P-010", "goes_with": "lead, cover", "price": "900 NOK",
    }  # fmt: skip
    url = f"/{keeper.collection.slug}/places/loans/take-in/"
    assert keeper_client.post(url, typed).status_code == 302
    piece = Piece.objects.get(name="Hired combo")
    found = state(piece.code, keeper)
    assert (found.owner, found.place, found.holder) == ("N-030", "P-010", None)
    assert found.unproven_because == "hired from somebody else"
    loan = Loan.objects.get()
    assert (loan.way, loan.pieces.get().goes_with) == ("hired", ["lead", "cover"])
    back = actions.Back(piece, (("lead", "came"), ("cover", "came")))
    actions.give_back(loan=loan, by=keeper, back=back)
    assert state(piece.code, keeper).standing == "given_back"
    assert not Event.objects.filter(kind="asked").exists()


def test_a_return_that_is_taken_back_leaves_the_piece_out_and_can_be_told_again(keeper, studio):
    loan = lent(keeper, studio, ago=20)
    piece = loan.pieces.get().piece
    event = actions.give_back(loan=loan, by=keeper, back=actions.Back(piece))
    assert not queries.all_loans(keeper.collection, today=today(keeper)).overdue
    withdraw(collection=keeper.collection, by=keeper, event=event, because="wrong amplifier")
    (late,) = queries.all_loans(keeper.collection, today=today(keeper)).overdue
    assert [row.piece for row in late.out] == [piece]
    assert queries.loan_of(piece) == loan
    actions.give_back(loan=loan, by=keeper, back=actions.Back(piece))
    assert not queries.all_loans(keeper.collection, today=today(keeper)).overdue


def test_a_return_that_is_corrected_has_the_day_of_the_correction(keeper, studio):
    loan = lent(keeper, studio, ago=20)
    back = actions.Back(loan.pieces.get().piece)
    event = actions.give_back(loan=loan, by=keeper, back=back)
    told = Telling(happened=(today(keeper) - timedelta(days=9)).isoformat())
    correct(collection=keeper.collection, by=keeper, event=event, facts=event.facts, telling=told)
    row = loan.pieces.get()
    assert (row.back_entry, row.back_on) == (event.sequence, today(keeper) - timedelta(days=9))


def test_a_loan_that_is_taken_back_is_neither_out_nor_overdue(keeper, studio):
    loan = lent(keeper, studio, ago=20)
    event = Event.objects.get(kind="lent")
    withdraw(collection=keeper.collection, by=keeper, event=event, because="never left")
    found = queries.all_loans(keeper.collection, today=today(keeper))
    assert (found.lent, found.overdue) == ([], [])
    assert [(line.loan, line.words) for line in found.over] == [(loan, "taken back")]


def new_thing(**changes) -> dict[str, str]:
    return {
        "party": "N-030", "name": "Hired combo", "kind": "amplifier", "hired": "yes",
        "reason": "one night", "begins_on": "2026-11-24", "ends_on": "2026-11-25",
        "authorised_by": "Ada", "once": "a1b2",
    } | changes  # fmt: skip


def test_a_new_thing_that_is_taken_in_twice_by_one_press_enters_once(keeper, studio, keeper_client):
    url = f"/{keeper.collection.slug}/places/loans/take-in/"
    answers = [keeper_client.post(url, new_thing()) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert answers[0].url == answers[1].url
    assert (Piece.objects.count(), Loan.objects.count()) == (1, 1)


def test_a_new_thing_whose_loan_is_refused_does_not_enter(keeper, studio):
    agreed = actions.Terms("one night", today(keeper), today(keeper) - timedelta(days=1), "Ada")
    thing = actions.NewThing("amplifier", "Hired combo")
    with pytest.raises(LedgerError, match="end before it begins"):
        actions.take_in_new(
            collection=keeper.collection, by=keeper, thing=thing, of=studio, terms=agreed
        )
    assert not Piece.objects.exists()


def test_a_rig_plan_that_needs_it_is_named_and_the_choice_is_theirs(keeper, studio, keeper_client):
    piece = a_piece(keeper)
    where = {"collection": keeper.collection, "by": keeper}
    days = {"starts_on": date(2026, 11, 1), "ends_on": date(2026, 12, 20)}
    tour = add_tour(**where, name="Autumn", **days)
    hall = add_place(**where, name="Hall", kind="venue", code="V-1")
    show = add_show(**where, tour=tour, venue=hall, on=date(2026, 11, 30))
    set_position(tour=tour, number=2, name="organ amp", piece=piece)
    typed = {"pieces": [piece.code], "party": "N-030", "reason": "film", "authorised_by": "Mirren",
             "begins_on": "2026-11-25", "ends_on": "2026-12-02"}  # fmt: skip
    url = f"/{keeper.collection.slug}/places/loans/lend/"
    page = keeper_client.post(url, typed).content.decode()
    assert f"{piece.code} is planned at position 2 organ amp for {show}" in page
    assert "Lend it all the same" in page
    assert not Loan.objects.exists()
    assert keeper_client.post(url, typed | {"knowing": "on"}).status_code == 302
    actions.give_back(loan=Loan.objects.get(), by=keeper, back=actions.Back(piece))
    # The day after the show nothing is planned any more: no warning.
    later = typed | {"begins_on": "2026-12-01"}
    assert keeper_client.post(url, later).status_code == 302


def test_a_tag_is_said_before_a_piece_is_lent_and_stands_on_the_sheet(
    keeper, studio, keeper_client
):
    piece = a_piece(keeper)
    where = {"collection": keeper.collection, "by": keeper}
    tag_out(**where, code=piece.code, reason="smelled hot")
    typed = {"pieces": [piece.code], "party": "N-030", "reason": "film", "authorised_by": "Mirren",
             "begins_on": "2026-11-25", "ends_on": "2026-12-02"}  # fmt: skip
    url = f"/{keeper.collection.slug}/places/loans/lend/"
    page = keeper_client.post(url, typed).content.decode()
    assert f"{piece.code} carries DO NOT POWER: smelled hot." in page
    assert not Loan.objects.exists()
    assert keeper_client.post(url, typed | {"knowing": "on"}).status_code == 302
    sheet = keeper_client.get(address(Loan.objects.get(), "sheet")).content.decode()
    assert "DO NOT POWER: smelled hot" in sheet


def test_a_viewer_reads_loans_and_writes_none(keeper, viewer, studio):
    loan = lent(keeper, studio)
    client = client_of(viewer)
    assert client.get(address(loan)).status_code == 200
    before = Event.objects.count()
    for path in (address(loan, "back"), address(loan, "signed")):
        assert client.post(path, {}).status_code == 403
    assert Event.objects.count() == before


def test_the_list_of_loans_asks_the_same_few_queries(
    keeper, studio, keeper_client, django_assert_max_num_queries
):
    url = f"/{keeper.collection.slug}/places/loans/"
    lent(keeper, studio)
    with django_assert_max_num_queries(9) as few:
        keeper_client.get(url)
    for _ in range(4):
        lent(keeper, studio)
    with django_assert_max_num_queries(len(few)):
        keeper_client.get(url)


def test_an_old_loan_is_told_with_its_own_day(keeper, studio):
    piece = a_piece(keeper)
    told = Telling(happened="2025-05-01", source="told", source_note="Jonah")
    where = {"collection": keeper.collection, "by": keeper, "telling": told}
    old = actions.Terms("a film", date(2025, 5, 1), date(2025, 6, 1), "Mirren")
    loan = actions.lend(**where, pieces=[actions.Handed(piece.code)], to=studio, terms=old)
    event = Event.objects.get(kind="lent")
    assert (event.happened, event.source) == ("2025-05-01", "told")
    assert queries.LoanLine(loan, date(2025, 6, 4)).overdue_days == 3


def test_a_loan_can_end_later_with_why_and_on_whose_word(keeper, studio):
    loan = lent(keeper, studio, ago=20)  # overdue by six days
    assert queries.LoanLine(loan, today(keeper)).overdue_days == 6
    later = today(keeper) + timedelta(days=10)
    said = {"ends_on": later.isoformat(), "reason": "one more song", "authorised_by": "Mirren"}
    answer = client_of(keeper).post(address(loan, "longer"), {**said, "once": "a" * 32})
    assert answer.status_code == 302
    again = client_of(keeper).post(address(loan, "longer"), {**said, "once": "a" * 32})
    assert again.status_code == 302  # a double tap
    event = Event.objects.get(kind="extended")
    assert event.facts["was"] == loan.ends_on.isoformat()
    assert event.facts["pieces"] == [loan.pieces.get().piece.code]
    loan.refresh_from_db()
    assert loan.ends_on == later
    assert queries.LoanLine(loan, today(keeper)).overdue_days == 0
    page = client_of(keeper).get(address(loan)).content.decode()
    assert "one more song. Authorised by Mirren." in page


@pytest.mark.parametrize(
    ("days", "why"), [(14, "ends on that day already"), (-1, "end before it begins")]
)
def test_a_new_last_day_that_is_none_is_refused(keeper, studio, days, why):
    loan = lent(keeper, studio)
    day = loan.begins_on + timedelta(days=days)
    with pytest.raises(LedgerError, match=why):
        actions.extend(loan=loan, by=keeper, end=actions.NewEnd(day, "one more song", "Mirren"))
    assert not Event.objects.filter(kind="extended").exists()


def test_what_is_back_gets_no_new_last_day(keeper, studio):
    loan = lent(keeper, studio)
    piece = loan.pieces.get().piece
    actions.give_back(loan=loan, by=keeper, back=actions.Back(piece))
    end = actions.NewEnd(loan.ends_on + timedelta(days=3), "one more song", "Mirren")
    with pytest.raises(LedgerError, match="is back; lend it again"):
        actions.extend(loan=loan, by=keeper, end=end)


def test_a_new_last_day_without_a_reason_stays_on_the_form(keeper, studio):
    loan = lent(keeper, studio)
    answer = client_of(keeper).post(address(loan, "longer"), {"authorised_by": "Mirren K"})
    assert answer.status_code == 422
    assert "Mirren K" in answer.content.decode()


def test_the_place_it_was_lent_from_says_who_has_it(keeper, studio, shelf, keeper_client):
    code = a_piece(keeper).code
    move(collection=keeper.collection, by=keeper, code=code, to=shelf.code)
    url = f"/{keeper.collection.slug}/places/{shelf.code}/"
    assert "with A studio in Leith" not in keeper_client.get(url).content.decode()
    lent(keeper, studio, code=code, along=())
    shown = keeper_client.get(url).content.decode()
    assert "with A studio in Leith" in shown
    assert ">held<" not in shown
