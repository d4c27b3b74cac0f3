"""Service plans: chosen with a reason, done by a press or with what was measured."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils.html import escape

from collection.bench.actions import inspect, serve
from collection.bench.due import queries
from collection.bench.due.actions import change_plan, choose_plan, did_it
from collection.bench.due.models import ServicePlan
from collection.catalogue.models import Piece
from collection.core.care import PRESETS
from collection.ledger.actions import withdraw
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.road.actions import log_show
from collection.stock.actions import issue
from registry import clock
from tests.bench.builders import a_piece
from tests.builders import client_of
from tests.road.builders import a_road
from tests.stock.shelves import Desk, heads, output_tubes, pairs

pytestmark = pytest.mark.django_db


def today(member):
    return clock.today(member.collection.zone_info)


def a_plan(by, **said) -> ServicePlan:
    usual = {
        "what": "contacts cleaned",
        "every": Decimal(30),
        "measured_by": "days",
        "basis": "common practice, no source",
        "reason": "dusty halls",
    }
    return choose_plan(collection=by.collection, by=by, **(usual | said))


def lines(by, until: int = 0):
    rows = list(queries.pieces(by.collection))
    day = today(by)
    return queries.due_lines(
        by.collection, rows, coming={}, today=day, until=day + timedelta(days=until)
    )


def ago(by, days: int) -> Telling:
    return Telling(happened=(today(by) - timedelta(days=days)).isoformat())


def url(plan, *parts) -> str:
    return f"/{plan.collection.slug}/bench/plans/" + "".join(f"{p}/" for p in parts)


def test_nothing_is_due_until_somebody_chooses(technician):
    a_piece(technician)
    assert lines(technician) == []


def test_presets_show_their_basis_and_none_is_chosen(technician, technician_client):
    page = technician_client.get(f"/{technician.collection.slug}/bench/plans/").content.decode()
    assert "No interval has been chosen." in page
    for care in PRESETS:
        assert escape(care.basis) in page, care.key
    assert "checked" not in page.split("<tbody>")[1].replace("bias checked", "").replace(
        "intonation checked", ""
    )


def test_an_interval_without_a_reason_is_refused(technician, technician_client):
    with pytest.raises(ValidationError):
        a_plan(technician, reason="")
    add = f"/{technician.collection.slug}/bench/plans/add/"
    blank = technician_client.get(add + "?preset=tape-loop&every=200").content.decode()
    assert 'value="200"' in blank
    typed = {"what": "tape loop", "every": "200", "measured_by": "heater-hours",
             "done_by": "serviced", "basis": "a page"}  # fmt: skip
    assert technician_client.post(add, typed).status_code == 422
    assert technician_client.post(add, typed | {"reason": "past that it sheds"}).status_code == 302
    plan = ServicePlan.objects.get()
    assert (plan.chosen_by, plan.every) == (technician.code, 200)


def test_an_interval_after_other_work_names_it(technician, technician_client):
    add = f"/{technician.collection.slug}/bench/plans/add/"
    typed = {"what": "burn-in", "every": "1", "measured_by": "after", "done_by": "serviced",
             "basis": "house rule", "reason": "new tubes die early"}  # fmt: skip
    page = technician_client.post(add, typed)
    assert "Say after which work." in page.content.decode()


def test_a_plan_fits_what_it_is_narrowed_to(technician):
    amp, echo = a_piece(technician), a_piece(technician, kind="effect", family="tape echo")
    plan = a_plan(technician, family="lap steel, echo")
    assert [one.piece for one in lines(technician)] == [echo]
    assert not plan.fits(amp)
    assert a_plan(technician, piece=amp).fits(amp)


def test_a_comma_too_many_does_not_make_a_plan_fit_everything(technician):
    amp, echo = a_piece(technician), a_piece(technician, kind="effect", family="tape echo")
    plan = a_plan(technician, family="echo, ")
    assert (plan.fits(echo), plan.fits(amp)) == (True, False)


def test_one_press_writes_that_it_was_done(technician, technician_client):
    amp, plan = a_piece(technician), a_plan(technician)
    serve(collection=technician.collection, by=technician, code=amp.code, what=plan.what,
          telling=ago(technician, 40))  # fmt: skip
    (before,) = lines(technician)
    assert (before.due.standing, before.due.used) == ("due", 40)
    for _ in range(2):
        technician_client.post(url(plan, plan.pk, "press", amp.code), {"once": before.once})
    (after,) = lines(technician)
    assert (after.due.standing, after.due.used) == ("later", 0)
    assert Event.objects.filter(kind="serviced").count() == 2


def test_work_inside_is_never_one_press_and_the_caution_comes_first(technician, technician_client):
    amp = a_piece(technician)
    plan = a_plan(technician, opens=True, asks="Current per tube")
    pressed = technician_client.post(url(plan, plan.pk, "press", amp.code))
    assert pressed.status_code == 302
    assert not Event.objects.filter(kind="serviced").exists()
    page = technician_client.get(pressed.url).content.decode()
    assert page.index("The voltages in here kill") < page.index("Current per tube")
    assert technician_client.post(pressed.url, {"found": ""}).status_code == 422
    technician_client.post(pressed.url, {"found": "37 and 38 mA, 231 V, 25 min"})
    assert Event.objects.get(kind="serviced").facts["detail"] == "37 and 38 mA, 231 V, 25 min"


def test_work_with_an_entry_of_its_own_is_never_a_plain_line(technician, technician_client):
    """A pressed line 'serviced' would not count for a plan that a check fulfils."""
    amp = a_piece(technician)
    plan = a_plan(technician, what="powered up in store", done_by="inspected")
    for sent in ("press", "done"):
        address = url(plan, plan.pk, sent, amp.code)
        answer = technician_client.post(address, {"found": "works"}, follow=True)
        ends = reverse("bench:record_kind", args=[plan.collection.slug, amp.code, "inspected"])
        assert answer.redirect_chain[-1] == (ends, 302), sent
    assert not Event.objects.filter(kind="serviced").exists()
    inspect(collection=technician.collection, by=technician, code=amp.code, level="powered")
    assert lines(technician)[0].due.standing == "later"


def test_shows_and_hours_are_counted_from_the_book(technician):
    road = a_road(technician, on=today(technician) - timedelta(days=1))
    piece = road.position.piece
    plan = a_plan(technician, piece=piece, every=Decimal(4), measured_by="ht-hours")
    did_it(plan=plan, by=technician, piece=piece, telling=ago(technician, 3))
    log_show(collection=road.collection, by=technician, show=road.show, pieces=[piece.code],
             ht_hours="2.25", heater_hours="6", telling=ago(technician, 2))  # fmt: skip
    (line,) = lines(technician)
    assert (line.due.used, line.due.standing) == (Decimal("2.25"), "later")
    log_show(collection=road.collection, by=technician, show=road.show, pieces=[],
             troubled=[piece.code], ht_hours="2", telling=ago(technician, 1))  # fmt: skip
    (line,) = lines(technician)
    assert (line.due.used, line.due.standing) == (Decimal("4.25"), "due")


def test_new_output_tubes_ask_for_their_burn_in(technician):
    desk = Desk(technician)
    heads(desk, "A-007")
    piece = Piece.objects.get()
    plan = a_plan(technician, piece=piece, what="output tubes burnt in", every=Decimal(1),
                  measured_by="after", after_what="output tubes")  # fmt: skip
    assert lines(technician)[0].due.standing == "later"
    lot = pairs(desk, output_tubes(desk), 4)
    issue(**desk.who, lot=lot, units=2, grade="sealed",
          piece=piece, position="output", telling=ago(technician, 0))  # fmt: skip
    assert lines(technician)[0].due.standing == "due"
    did_it(plan=plan, by=technician, piece=piece, found="24 h")
    assert lines(technician)[0].due.standing == "later"


def test_tubes_fitted_before_the_plan_began_ask_for_nothing_even_once_it_is_changed(technician):
    desk = Desk(technician)
    heads(desk, "A-007")
    piece = Piece.objects.get()
    lot = pairs(desk, output_tubes(desk), 4)
    issue(**desk.who, lot=lot, units=2, piece=piece, position="output", telling=ago(technician, 9))
    said = {"what": "burnt in", "every": Decimal(1), "measured_by": "after",
            "after_what": "output tubes"}  # fmt: skip
    a_plan(technician, piece=piece, **said)
    assert lines(technician)[0].due.standing == "later"
    begun = clock.now() - timedelta(days=10)
    owing = a_plan(technician, piece=piece, at=begun, **said | {"what": "burnt in again"})
    change_plan(plan=owing, by=technician, reason="put better")
    standings = {line.plan.what: line.due.standing for line in lines(technician)}
    assert standings == {"burnt in": "later", "burnt in again": "due"}


def test_a_corrected_entry_counts_once(technician):
    amp, plan = a_piece(technician), a_plan(technician)
    event = did_it(plan=plan, by=technician, piece=amp)
    withdraw(collection=technician.collection, by=technician, event=event, because="not done")
    assert lines(technician)[0].due.standing == "unwritten"


def test_a_resting_plan_asks_for_nothing(technician, technician_client):
    a_piece(technician)
    plan = a_plan(technician)
    technician_client.post(url(plan, plan.pk, "rest"))
    assert lines(technician) == []


def test_yearly_use_follows_the_shows_played(technician):
    road = a_road(technician, on=today(technician))
    for days in (10, 20, 400):
        log_show(collection=road.collection, by=technician, show=road.show,
                 pieces=[road.position.piece.code], ht_hours="30",
                 telling=ago(technician, days))  # fmt: skip
    found = {one.care.key: one for one in queries.presets(road.collection, today=today(technician))}
    sixty = found["output-tubes"].options[0]
    assert (sixty.every, sixty.times) == (60, 1)
    assert found["output-tubes"].pieces == 2


def test_a_viewer_reads_plans_and_changes_none(technician, viewer):
    amp, plan = a_piece(technician), a_plan(technician)
    client = client_of(viewer)
    assert client.get(url(plan)).status_code == 200
    for parts in ((plan.pk, "rest"), (plan.pk, "press", amp.code), (plan.pk,), ("add",)):
        assert client.post(url(plan, *parts)).status_code == 403
    assert client.get(url(plan, "add")).status_code == 403
