"""One expiring link lets a repairer without an account write on one job, and nothing else."""

from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from collection.bench.jobs import sharing
from collection.bench.jobs.actions import bring_back
from collection.catalogue import photo_field
from collection.catalogue.actions import describe
from collection.catalogue.models import Photo
from collection.custody.actions import add_party, add_place, move
from collection.ledger import proof
from collection.ledger.errors import LedgerError
from collection.ledger.models import Event
from registry import clock
from registry.access import sharing as access
from registry.access.models import ShareLink
from tests.bench.builders import a_piece
from tests.bench.test_jobs import a_job, address, piece_of
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(keeper):
    where = {"collection": keeper.collection, "by": keeper}
    place = add_place(**where, name="Bench in Carlisle", kind="workshop", code="P-020")
    return add_party(**where, name="The bench in Carlisle", code="N-006", phone="+44 1632 1"), place


@pytest.fixture
def job(keeper, shop):
    return a_job(keeper, shop, limit_minor=15000)


def made(job, keeper, **how):
    said = {"label": "the bench", "days": 7, "now": clock.now()}
    return sharing.share_job(job=job, by=keeper, **(said | how))


def path(token: str) -> str:
    return f"/link/job/{token}/"


def test_a_technician_makes_a_link_on_the_page_and_a_stranger_writes_by_it(technician, job):
    page = client_of(technician).post(address(job, "share"), {"label": "the bench", "days": "7"})
    shown = page.content.decode()
    link = shown.split('readonly value="')[1].split('"')[0]
    typed = {"piece": piece_of(job).code, "finding": "Dry joint at the standby switch."}
    typed["photo"] = SimpleUploadedFile("a.png", saved(drawn(), "PNG"))
    guest = Client()
    answer = guest.post(urlsplit(link).path, typed, follow=True)
    assert "Dry joint at the standby switch." in answer.content.decode()
    event = Event.objects.get(kind="diagnosed")
    assert (event.source, event.recorded_by) == ("told", f"guest of {job.code}")
    assert event.subject.code == piece_of(job).code
    assert Photo.objects.get().entry == event.sequence
    assert not proof.verify(job.collection).misfits


def test_only_a_hash_of_the_token_is_kept(job, keeper):
    link, token = made(job, keeper)
    assert token not in str(vars(link))
    assert len(link.token_hash) == 64


def test_the_link_shows_the_job_and_no_place_value_person_or_other_piece(job, keeper):
    house = add_place(
        collection=keeper.collection, by=keeper, name="The house", kind="house", private=True
    )
    other = a_piece(keeper, code="A-777", name="Secret Twelve")
    piece = piece_of(job)
    describe(piece=piece, by=keeper, changes={"value_minor": 987600, "value_currency": "EUR"})
    move(collection=keeper.collection, by=keeper, code=other.code, to=house.code)
    _, token = made(job, keeper)
    page = Client().get(path(token))
    seen = page.content.decode()
    assert piece.code in seen
    assert "crackle when switched" in seen
    assert "Replace no original part without a call." in seen
    assert "up to 150.00" in seen
    for hidden in ("A-777", "Secret", "The house", "9,876", "987600", keeper.name, "1632",
                   keeper.collection.name, "Bench in Carlisle"):  # fmt: skip
        assert hidden not in seen, hidden
    assert page["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    assert '<meta name="robots" content="noindex, nofollow">' in seen
    assert "no-store" in page["Cache-Control"]


def test_a_finding_on_a_piece_of_another_job_is_refused(job, keeper, shop):
    elsewhere = piece_of(a_job(keeper, shop))
    _, token = made(job, keeper)
    typed = {"piece": elsewhere.code, "finding": "anything"}
    assert Client().post(path(token), typed).status_code == 422
    assert not Event.objects.filter(kind="diagnosed").exists()


@pytest.mark.parametrize("end", ["run out", "taken back", "unknown"])
def test_a_link_that_is_over_opens_nothing_and_writes_nothing(job, keeper, end):
    link, token = made(job, keeper)
    if end == "run out":
        ShareLink.objects.filter(pk=link.pk).update(
            made_at=clock.now() - timedelta(days=8), expires_at=clock.now() - timedelta(seconds=1)
        )
    elif end == "taken back":
        client_of(keeper).post(address(job, "share", link.pk, "end"))
    else:
        token = "x" * 43
    typed = {"piece": piece_of(job).code, "finding": "late"}
    assert Client().get(path(token)).status_code == 410
    assert Client().post(path(token), typed).status_code == 410
    assert piece_of(job).code not in Client().get(path(token)).content.decode()
    assert not Event.objects.filter(kind="diagnosed").exists()


def test_every_use_is_logged_and_too_many_are_turned_away(job, keeper, monkeypatch):
    link, token = made(job, keeper)
    monkeypatch.setattr(access, "WRITINGS_AN_HOUR", 2)
    guest = Client()
    typed = {"piece": piece_of(job).code, "finding": "a"}
    answers = [guest.post(path(token), typed).status_code for _ in range(3)]
    assert answers == [302, 302, 429]
    assert link.uses.filter(wrote=True).count() == 2
    monkeypatch.setattr(access, "OPENINGS_AN_HOUR", 3)
    assert [guest.get(path(token)).status_code for _ in range(2)] == [200, 429]
    assert f"opened {link.uses.count()} times, written by 2 times" in (
        client_of(keeper).get(address(job)).content.decode()
    )


def test_what_is_refused_counts_too_and_a_tired_link_looks_into_no_photo(job, keeper, monkeypatch):
    """Looking into a photo costs work: a held link must not be able to ask for it without end."""
    link, token = made(job, keeper)
    monkeypatch.setattr(access, "OPENINGS_AN_HOUR", 2)
    guest = Client()
    answers = [guest.post(path(token), {"finding": ""}).status_code for _ in range(2)]
    monkeypatch.setattr(photo_field, "accept", lambda data: pytest.fail("it was looked into"))
    typed = {"photo": SimpleUploadedFile("a.png", saved(drawn(), "PNG"))}
    assert [*answers, guest.post(path(token), typed).status_code] == [422, 422, 429]
    assert link.uses.count() == 2


def test_a_mark_of_a_press_that_no_entry_can_hold_is_refused(job, keeper):
    _, token = made(job, keeper)
    typed = {"piece": piece_of(job).code, "finding": "a"}
    assert Client().post(path(token), typed | {"once": "x" * 59}).status_code == 422
    assert Client().post(path(token), typed | {"once": "x" * 58}).status_code == 302
    assert len(Event.objects.get(kind="diagnosed").once) == 64


def test_a_press_sent_twice_is_written_once(job, keeper):
    _, token = made(job, keeper)
    typed = {"piece": piece_of(job).code, "finding": "a", "once": "press"}
    for _ in range(2):
        Client().post(path(token), typed)
    assert Event.objects.filter(kind="diagnosed").count() == 1


def test_no_more_than_three_links_stand_open(job, keeper):
    for _ in range(3):
        made(job, keeper)
    with pytest.raises(LedgerError, match="take one back first"):
        made(job, keeper)


def test_a_link_does_not_open_the_calendar_nor_the_collection(job, keeper):
    _, token = made(job, keeper)
    assert Client().get(f"/link/calendar/{token}/gear.ics").status_code == 410
    guest = Client()
    guest.get(path(token))
    assert guest.get(address(job)).status_code == 302


def test_a_guest_may_still_write_once_it_is_back(job, keeper):
    """The bill and the last words often come after the piece; the link's own end is the limit."""
    bring_back(job=job, by=keeper, piece=piece_of(job))
    _, token = made(job, keeper)
    typed = {"piece": piece_of(job).code, "finding": "watch the second joint too"}
    assert Client().post(path(token), typed).status_code == 302
