"""A link opens one paper or one piece to somebody without an account, and nothing else."""

import re
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.core.management import call_command
from django.test import Client

from collection.core.wording import money
from collection.custody.actions import add_party, move, report_theft
from collection.ledger.actions import withdraw
from collection.ledger.models import Event
from collection.papers.sharing.actions import let_go
from collection.papers.sharing.models import SharedPaper
from collection.papers.sharing.of_piece import photos_of
from registry import clock
from registry.access import sharing
from registry.access.models import ShareLink, ShareUse
from registry.access.roles import Role
from tests.builders import a_collection, a_member, client_of
from tests.custody.story import a_story
from tests.papers.borders.builders import a_carnet
from tests.papers.dossier.story import CODE, OWNER, SELLER, a_history
from tests.papers.insurance.test_insurance import Desk

pytestmark = pytest.mark.django_db
PRIVATE = (SELLER, OWNER, "Kirkcudbright", "MV-7F-42")


@pytest.fixture
def history():
    collection = a_collection()
    return a_history(collection, a_member(collection, role=Role.KEEPER))


def share(history, *, who="insurer", client=None, **how):
    """Press Share, then for whom; the address that is shown once."""
    typed = {"paper": "piece", "days": "7", "who": who} | how
    client = client or client_of(history.by)
    return client.post(f"/{history.collection.slug}/papers/share/{CODE}/", typed)


def path_of(answer) -> str:
    return urlsplit(answer.content.decode().split('readonly value="')[1].split('"')[0]).path


def opened(path):
    answer = Client().get(path)
    return answer, b"".join(answer.streaming_content) if answer.streaming else answer.content


def test_a_stranger_reads_one_piece_and_nothing_private(history):
    answer, content = opened(path_of(share(history)))
    seen = content.decode()
    assert answer.status_code == 200
    assert CODE in seen
    assert "5O2-I6407" in seen
    assert "6,200" not in seen
    assert "620000" not in seen
    for hidden in (*PRIVATE, history.by.name):
        assert hidden not in seen, hidden


@pytest.mark.parametrize(("asked", "chosen"), [("", "piece"), ("?paper=object-id", "object-id")])
def test_with_nothing_typed_one_press_is_enough(history, asked, chosen):
    client, address = client_of(history.by), f"/{history.collection.slug}/papers/share/{CODE}/"
    page = client.get(f"{address}{asked}").content.decode()
    inputs = [tag for tag in re.findall(r"<input[^>]*>", page) if "checked" in tag]
    ticked = {re.search(r'name="(\w+)"', tag)[1]: re.search(r'value="([^"]+)"', tag)[1]
              for tag in inputs}  # fmt: skip
    assert ticked == {"paper": chosen, "days": "7"}
    assert client.post(address, ticked | {"who": "police"}).status_code == 200
    assert SharedPaper.objects.get().paper == chosen


def test_a_page_and_all_beside_it_are_kept_out_of_indexes_and_caches(history):
    path = path_of(share(history))
    for address in (path, f"{path}photo/0/", f"{path}paper/", "/link/shared/nothing/"):
        answer, _ = opened(address)
        assert answer["X-Robots-Tag"] == "noindex, nofollow, noarchive", address
        assert "no-store" in answer["Cache-Control"], address
    assert b'<meta name="robots" content="noindex, nofollow">' in Client().get(path).content


def test_values_stand_on_it_only_where_they_were_chosen(history):
    _, content = opened(path_of(share(history, values="on")))
    assert content.decode().count(money(620000, "EUR")) == 2  # today's value, the valuation
    assert "Valued at" in content.decode()
    assert SharedPaper.objects.get().values


def test_an_object_id_sheet_with_values_is_refused_in_words(history):
    answer = share(history, paper="object-id", values="on")
    assert answer.status_code == 422
    assert "never says what a thing is worth" in answer.content.decode()
    assert not ShareLink.objects.exists()


@pytest.mark.parametrize("paper", ["object-id", "dossier"])
def test_a_paper_is_read_as_it_was_made_although_the_book_goes_on(history, paper):
    path = path_of(share(history, paper=paper))
    first, before = opened(f"{path}paper/")
    assert first["Content-Type"] == "application/pdf"
    assert before.startswith(b"%PDF")
    move(collection=history.collection, by=history.by, code=CODE, to="P-701")
    assert opened(f"{path}paper/")[1] == before
    assert SharedPaper.objects.get().sha256 in Client().get(path).content.decode()


def test_a_dossier_chosen_line_by_line_goes_out_by_a_link(history):
    number = history.number("acquired")
    typed = {"lines": [number], "for_whom": "the buyer", "once": "p1", "share": "7"}
    client = client_of(history.by)
    path = path_of(client.post(history.address, typed))
    assert ShareLink.objects.get().label == "the buyer"
    assert opened(f"{path}paper/")[1].startswith(b"%PDF")
    assert client.post(history.address, typed, follow=True).status_code == 200
    assert ShareLink.objects.count() == 1


@pytest.mark.parametrize("end", ["run out", "taken back", "unknown", "of a job"])
def test_a_link_that_opens_nothing_is_answered_alike_whatever_the_reason(history, end):
    path = path_of(share(history, paper="object-id"))
    link = ShareLink.objects.get()
    if end == "run out":
        past = clock.now() - timedelta(days=8)
        ShareLink.objects.update(made_at=past, expires_at=past + timedelta(days=7))
    elif end == "taken back":
        client_of(history.by).post(f"/{history.collection.slug}/papers/links/{link.pk}/end/")
    elif end == "of a job":
        ShareLink.objects.update(purpose="job")
    else:
        path = f"/link/shared/{'x' * 43}/"
    unknown, said = opened("/link/shared/never/")
    main = said.split(b"<main")[1]
    for address in (path, f"{path}paper/", f"{path}photo/0/"):
        answer, content = opened(address)
        assert (answer.status_code, content.split(b"<main")[1]) == (404, main), address
    assert unknown.status_code == 404
    assert not ShareUse.objects.exists()


def test_every_opening_is_counted_and_shown_with_its_moment(history):
    path = path_of(share(history, name="Hale & Co", paper="object-id"))
    opened(path), opened(f"{path}paper/")
    page = client_of(history.by).get(f"/{history.collection.slug}/papers/links/").content.decode()
    assert "For the insurer, Hale &amp; Co" in page
    assert "opened 2 times" in page
    assert ShareUse.objects.count() == 2


def test_a_photo_is_of_the_piece_without_what_shows_the_hidden_mark(history):
    path = path_of(share(history))
    shown = SharedPaper.objects.get()
    photos = photos_of(shown.subject, history.by)
    assert photos
    assert not any(photo.shows_mark for photo in photos)
    answer, content = opened(f"{path}photo/0/")
    assert answer["Content-Type"] == "image/jpeg"
    assert content.startswith(b"\xff\xd8")
    assert opened(f"{path}photo/{len(photos)}/")[0].status_code == 404


def test_a_link_cannot_be_written_by_and_leads_to_no_page_of_the_collection(history):
    path = path_of(share(history))
    assert Client().post(path, {"finding": "x"}).status_code == 405
    assert f"/{history.collection.slug}/" not in Client().get(path).content.decode()


def test_a_link_opened_too_often_waits_for_an_hour(history):
    path = path_of(share(history))
    link, now = ShareLink.objects.get(), clock.now()
    ShareUse.objects.bulk_create(
        ShareUse(link=link, at=now) for _ in range(sharing.OPENINGS_AN_HOUR)
    )
    assert opened(path)[0].status_code == 429
    assert opened(f"{path}photo/0/")[0].status_code == 429


def test_a_paper_is_let_go_with_its_link(history):
    share(history, paper="object-id"), share(history, paper="dossier")
    first, second = SharedPaper.objects.order_by("pk")
    client_of(history.by).post(f"/{history.collection.slug}/papers/links/{first.pk}/end/")
    first.refresh_from_db()
    assert not first.file
    assert second.file
    assert let_go(now=clock.now()) == 0
    assert let_go(now=clock.now() + timedelta(days=8)) == 1
    assert not SharedPaper.objects.exclude(file=b"").exists()


def test_the_daily_command_lets_go_of_papers_that_ran_out(history):
    share(history, paper="object-id")
    past = clock.now() - timedelta(days=8)
    ShareLink.objects.update(made_at=past, expires_at=past + timedelta(days=7))
    call_command("daily", "--no-tidy")
    assert not SharedPaper.objects.exclude(file=b"").exists()


def test_two_presses_make_one_link(history):
    share(history, once="one"), share(history, once="one")
    assert ShareLink.objects.count() == 1


def test_somebody_who_only_reads_makes_no_link(history):
    guest = client_of(a_member(history.collection, role=Role.VIEWER))
    assert share(history, client=guest).status_code == 403
    assert guest.get(f"/{history.collection.slug}/papers/links/").status_code == 403


def test_the_list_of_links_asks_no_more_for_more_links(history, django_assert_max_num_queries):
    client, address = client_of(history.by), f"/{history.collection.slug}/papers/links/"
    for _ in range(8):
        opened(path_of(share(history)))
    with django_assert_max_num_queries(9):
        assert client.get(address).status_code == 200


def test_a_list_of_goods_goes_out_by_a_link_with_its_values(keeper):
    code = a_carnet(keeper)[1].code
    client = client_of(keeper)
    typed = {"paper": "goods-list", "days": "1", "who": "customs"}
    made = client.post(f"/{keeper.collection.slug}/papers/share/{code}/", typed)
    path = path_of(made)
    assert opened(f"{path}paper/")[1].startswith(b"%PDF")
    assert SharedPaper.objects.get().values


def share_of(member, code, **typed):
    address = f"/{member.collection.slug}/papers/share/{code}/"
    return client_of(member).post(address, {"days": "7"} | typed)


def test_a_schedule_goes_out_to_the_insurer_with_its_values(keeper):
    policy = Desk(keeper).policy()
    path = path_of(share_of(keeper, policy.code, paper="schedule", who="insurer"))
    assert opened(f"{path}paper/")[1].startswith(b"%PDF")
    shared = SharedPaper.objects.get()
    assert (shared.values, shared.title) == (True, f"Schedule, {policy.code}")
    assert policy.subject.papers_made.get().sha256 == shared.sha256


def test_a_notice_goes_out_by_a_link_while_something_is_stolen(collection, keeper):
    a_story(collection, keeper)
    incident = report_theft(collection=collection, by=keeper, pieces=["G-003"])
    path = path_of(share_of(keeper, incident.code, paper="notice", who="other"))
    assert opened(f"{path}paper/")[1].startswith(b"%PDF")
    assert not SharedPaper.objects.get().values


def test_a_notice_of_nothing_stolen_is_refused_and_no_link_is_made(collection, keeper):
    a_story(collection, keeper)
    incident = report_theft(collection=collection, by=keeper, pieces=["G-003"])
    stolen = Event.objects.of(collection).get(kind="stolen")
    withdraw(collection=collection, by=keeper, event=stolen, because="It stood elsewhere.")
    answer = share_of(keeper, incident.code, paper="notice", who="other")
    assert answer.status_code == 422
    assert "stolen" in answer.content.decode()
    assert not ShareLink.objects.exists()


def test_of_a_thing_without_a_paper_no_link_is_made(keeper):
    add_party(collection=keeper.collection, by=keeper, name="Hale", code="N-001")
    address = f"/{keeper.collection.slug}/papers/share/N-001/"
    assert client_of(keeper).get(address).status_code == 404
