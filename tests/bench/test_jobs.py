"""A stay at a repairer, from sent to played hot."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from collection.bench import actions as bench
from collection.bench.jobs import actions, queries
from collection.bench.jobs.models import Job
from collection.bench.models import Fault
from collection.catalogue.models import Piece
from collection.core.repair_job import AWAY
from collection.core.state import from_json
from collection.custody.actions import add_party, add_place
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event, State
from collection.ledger.telling import Telling
from registry import clock
from tests.bench.builders import a_piece
from tests.builders import client_of

pytestmark = pytest.mark.django_db
ORDERS = ("no-original-replaced", "ring-first")


def today(member):
    return clock.today(member.collection.zone_info)


@pytest.fixture
def shop(keeper):
    where = {"collection": keeper.collection, "by": keeper}
    place = add_place(**where, name="Bench in Carlisle", kind="workshop", code="P-020")
    return add_party(**where, name="The bench in Carlisle", code="N-006"), place


def a_job(by, shop, *, pieces=None, ago=10, **terms) -> Job:
    pieces = pieces or [a_piece(by).code]
    sent_on = today(by) - timedelta(days=ago)
    return actions.send(
        collection=by.collection,
        by=by,
        pieces=pieces,
        repairer=shop[0],
        at=shop[1],
        terms=actions.Terms("crackle when switched", orders=ORDERS, **terms),
        telling=Telling(happened=sent_on.isoformat()),
    )


def state(subject):
    return from_json(State.objects.get(subject=subject).detail)


def piece_of(job) -> Piece:
    return job.pieces.get()


def address(job, *parts) -> str:
    return f"/{job.collection.slug}/bench/jobs/" + "".join(f"{p}/" for p in (job.code, *parts))


def test_a_piece_sent_away_is_the_repairers_and_unproven(keeper, shop):
    job = a_job(keeper, shop)
    found = state(piece_of(job).subject)
    assert job.code == "J-001"
    assert (found.holder, found.place, found.unproven_because) == (
        "N-006", "P-020", "away for repair",
    )  # fmt: skip


def test_a_whole_stay_can_be_recorded_on_its_pages(keeper, shop):
    job = a_job(keeper, shop, limit_minor=20000)
    piece = piece_of(job)
    known = bench.fault(collection=keeper.collection, by=keeper, code=piece.code, symptom="crackle")
    home = add_place(collection=keeper.collection, by=keeper, name="Bay 1", kind="room", code="P-2")
    client = client_of(keeper)
    stages = {
        "booked-in": {"ticket": "0412"},
        "diagnosed": {"piece": piece.code, "finding": "dry joint", "fault": known.code},
        "quoted": {"amount": "145.00", "covers": "one joint"},
        "approved": {"up_to": "160"},
        "done": {"piece": piece.code, "what": "joint resoldered", "fault": known.code},
        "back": {"piece": piece.code, "at": home.code, "returned": "old socket"},
    }
    for stage, typed in stages.items():
        answer = client.post(address(job, stage), typed)
        assert answer.status_code == 302, (stage, answer.content.decode()[-3000:])
    job.refresh_from_db()
    assert job.ticket == "0412"
    assert state(job.subject).condition == "back"
    assert state(known.subject).condition == "fixed"
    found = state(piece.subject)
    assert (found.holder, found.place) == (None, "P-2")
    page = client.get(address(job)).content.decode()
    assert "back, not proven yet" in page
    bench.inspect(collection=keeper.collection, by=keeper, code=piece.code, level="played-hot")
    assert "back and played hot" in client.get(address(job)).content.decode()


def test_a_removed_part_that_is_missing_opens_a_question(keeper, shop):
    job = a_job(keeper, shop)
    answer = client_of(keeper).post(
        address(job, "back"),
        {"piece": piece_of(job).code, "returned": "output transformer", "missing": "two screws"},
        follow=True,
    )
    assert "The book asks: Job J-001, removed and not returned: two screws." in (
        answer.content.decode()
    )
    asked = Event.objects.filter(kind="asked")
    assert [event.facts["about"] for event in asked] == [piece_of(job).code]


def test_a_job_of_two_pieces_is_back_with_the_second(keeper, shop):
    codes = [a_piece(keeper).code for _ in range(2)]
    job = a_job(keeper, shop, pieces=codes)
    for left, code in ((1, codes[0]), (0, codes[1])):
        actions.bring_back(job=job, by=keeper, piece=job.pieces.get(code=code))
        assert state(job.subject).count(AWAY) == left
    assert state(job.subject).condition == "back"


def test_above_the_limit_only_a_keeper_approves(keeper, technician, shop):
    job = a_job(keeper, shop, limit_minor=15000)
    actions.approve(job=job, by=technician, up_to_minor=15000)
    with pytest.raises(PermissionDenied, match="above the job’s limit of 150"):
        actions.approve(job=job, by=technician, up_to_minor=15001)
    page = client_of(technician).post(address(job, "approved"), {"up_to": "240"})
    assert page.status_code == 422
    assert "a keeper approves it" in page.content.decode()
    assert Event.objects.filter(kind="approved").count() == 1
    actions.approve(job=job, by=keeper, up_to_minor=24000)
    job.refresh_from_db()
    assert job.limit_minor == 24000


def test_a_technician_sets_no_limit(technician, shop):
    with pytest.raises(PermissionDenied, match="A keeper sets"):
        a_job(technician, shop, limit_minor=1)
    job = a_job(technician, shop)
    with pytest.raises(PermissionDenied, match="No limit has been set"):
        actions.approve(job=job, by=technician, up_to_minor=1)


def test_days_away_and_overdue_are_said(keeper, shop):
    job = a_job(keeper, shop, ago=27, due_on=today(keeper) - timedelta(days=4))
    in_time = a_job(keeper, shop, ago=3, due_on=today(keeper))
    away, back = queries.all_jobs(keeper.collection, today=today(keeper))
    assert [(one.job.code, one.days_away, one.overdue_days) for one in away] == [
        (job.code, 27, 4), (in_time.code, 3, 0),
    ]  # fmt: skip
    assert not back
    actions.bring_back(job=job, by=keeper, piece=piece_of(job))
    away, back = queries.all_jobs(keeper.collection, today=today(keeper))
    assert [one.job for one in back] == [job]
    assert back[0].overdue_days == 0


def test_sending_by_the_page_keeps_orders_and_limit(keeper, shop):
    piece = a_piece(keeper)
    typed = {
        "pieces": [piece.code], "repairer": "N-006", "at": "P-020", "complaint": "hums",
        "orders": ["ring-first", "return-removed"], "limit": "99.50", "once": "one-press",
    }  # fmt: skip
    url = f"/{keeper.collection.slug}/bench/jobs/send/"
    client = client_of(keeper)
    assert client.post(url, typed).status_code == 302
    assert client.post(url, typed).status_code == 302
    job = Job.objects.get()
    assert (job.limit_minor, job.orders) == (9950, ["ring-first", "return-removed"])
    written = Event.objects.get(kind="sent_to_repair")
    assert written.facts["orders"] == ["ring-first", "return-removed"]
    assert written.facts["limit_minor"] == 9950


def test_a_part_of_a_cent_and_an_empty_job_are_refused(keeper, shop):
    url = f"/{keeper.collection.slug}/bench/jobs/send/"
    typed = {"repairer": "N-006", "complaint": "hums", "limit": "1.005"}
    page = client_of(keeper).post(url, typed).content.decode()
    assert "No more than 2 figures after the point." in page
    with pytest.raises(LedgerError, match="needs a piece"):
        a_job(keeper, shop, pieces=["A-999"])


def test_a_viewer_reads_jobs_and_writes_none(keeper, viewer, shop):
    job = a_job(keeper, shop)
    client = client_of(viewer)
    page = client.get(address(job))
    assert page.status_code == 200
    assert "Record" not in page.content.decode().split("</header>", 2)[-1]
    before = Event.objects.count()
    for path in (address(job, "quoted"), address(job, "share")):
        assert client.post(path, {"amount": "1"}).status_code == 403
    assert client.get(address(job, "quoted")).status_code == 403
    assert Event.objects.count() == before


def test_the_list_of_jobs_asks_the_same_few_queries(
    keeper, shop, keeper_client, django_assert_max_num_queries
):
    url = f"/{keeper.collection.slug}/bench/jobs/"
    a_job(keeper, shop)
    with django_assert_max_num_queries(8) as few:
        keeper_client.get(url)
    for _ in range(4):
        a_job(keeper, shop)
    with django_assert_max_num_queries(len(few)):
        keeper_client.get(url)


def test_a_job_keeps_faults_of_its_own_pieces_apart(keeper, shop):
    job, other = a_job(keeper, shop), a_piece(keeper)
    bench.fault(collection=keeper.collection, by=keeper, code=other.code, symptom="buzz")
    mine = bench.fault(
        collection=keeper.collection, by=keeper, code=piece_of(job).code, symptom="hum"
    )
    assert list(queries.faults(job)) == [Fault.objects.get(pk=mine.pk)]
