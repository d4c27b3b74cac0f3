"""A person is erased across the collection; code, states and proofs stay."""

from datetime import timedelta

import pytest

from collection.catalogue.actions import add_piece
from collection.core.events.acquired import Acquired
from collection.core.events.repaired import Repaired
from collection.custody import actions as custody
from collection.custody.models import Party
from collection.desk.erasure.actions import NAMELESS, erase_party
from collection.desk.erasure.queries import standing_of
from collection.desk.monthly.actions import choose_reader, write_seals
from collection.desk.monthly.models import SealReader
from collection.desk.post.models import Letter
from collection.ledger import proof
from collection.ledger.actions import note, open_book
from collection.ledger.models import Event, State
from collection.ledger.telling import Telling
from collection.papers.models import PaperMade
from registry import clock
from registry.access.sharing import share

pytestmark = pytest.mark.django_db


@pytest.fixture
def who(collection, keeper):
    return {"collection": collection, "by": keeper}


@pytest.fixture
def ola(who):
    """A former owner: in words, in a source, in facts, in notes, as a code."""
    party = custody.add_party(
        **who, name="Ola Nes", does="sold it", phone="555 0117", email="ola@gear.example",
        code="N-018",
    )  # fmt: skip
    add_piece(**who, code="A-007", kind="amplifier", notes="ask OLA NES about the cover")
    add_piece(**who, code="A-008", kind="amplifier")
    note(**who, subject="A-007", telling=Telling(words="bought from Ola Nes in a car park"))
    note(**who, subject="A-008", telling=Telling(words="hums", source_note="öla nes"))
    note(**who, subject="A-008", telling=Telling(words="nothing to do with it"))
    with open_book(**who) as book:
        said = Telling(words="cash, no paper")
        book.append(Acquired(method="bought", from_whom="N-018"), "A-007", said)
        book.append(Repaired(what="recapped by Ola Nes"), "A-007")
    return party


def numbers(said):
    return {one.event.words or one.event.source_note: one.named for one in said}


def test_words_that_name_them_and_words_of_what_names_their_code_are_found(ola):
    found = standing_of(ola)
    assert numbers(found.words) == {
        "bought from Ola Nes in a car park": True,
        "hums": True,
        "cash, no paper": False,
    }
    assert len(found.facts) == 2  # the description when it was added, and the repair
    assert found.rows == (("piece", 1),)


def test_erased_nothing_names_them_but_what_was_said_to_stay(ola, who, collection):
    found = standing_of(ola)
    states = list(State.objects.of(collection).order_by("pk").values_list("subject", "detail"))
    root_before = proof.root_of(collection)[0]
    chosen = [one.event.sequence for one in found.words]
    erase_party(party=ola, by=who["by"], because="he asked us to", entries=chosen)
    ola.refresh_from_db()
    kept = (ola.name, ola.does, ola.phone, ola.email, ola.outward, ola.note)
    assert kept == (NAMELESS, "", "", "", "", "")
    assert proof.verify(collection).fits
    assert proof.root_of(collection)[0] == root_before + 4
    assert [w for w in Event.objects.of(collection).values_list("words", flat=True) if w] == [
        "nothing to do with it"
    ]
    folded = list(State.objects.of(collection).order_by("pk").values_list("subject", "detail"))
    assert folded == states


def test_entries_that_were_not_chosen_keep_their_words(ola, who, collection):
    erase_party(party=ola, by=who["by"], because="he asked us to")
    assert Event.objects.of(collection).filter(words__contains="car park").exists()
    assert proof.verify(collection).fits


def test_letters_that_wait_are_not_sent_and_no_more_are_written(ola, who, collection):
    choose_reader(**who, party=ola, schedule=False, photos=False)
    write_seals(collection, now=clock.now())
    assert Letter.objects.of(collection).get().address == "ola@gear.example"
    erase_party(party=ola, by=who["by"], because="he asked us to")
    assert not Letter.objects.of(collection).exists()
    assert not SealReader.objects.of(collection).exists()


def test_letters_links_and_papers_made_that_name_them_are_erased_too(ola, who, collection):
    at, keeper = clock.now(), who["by"]
    to_keeper = {"collection": collection, "member": keeper, "address": "k@gear.example"}
    late = {"subject": "Late: A-007", "body": "with Ola Nes since May", "made_at": at}
    sent = Letter.objects.create(**to_keeper, **late, key="late-1", sent_at=at)
    Letter.objects.create(**to_keeper, **late, key="late-2")
    other = Letter.objects.create(**to_keeper, **late | {"body": "Nothing."}, key="late-3")
    link, _ = share(collection, purpose="paper", code="A-007", label="a buyer, Ola Nes",
                    by=keeper, now=at, expires_at=at + timedelta(days=7))  # fmt: skip
    paper = PaperMade.objects.create(
        collection=collection, paper="dossier", subject=ola.subject, for_whom="Ola Nes",
        made_at=at, made_by=keeper.code, sha256="ab" * 32, byte_count=1, book_size=1,
        root="ab" * 32,
    )  # fmt: skip
    erase_party(party=ola, by=keeper, because="he asked us to")
    for row in (sent, other, link, paper):
        row.refresh_from_db()
    assert (sent.body, link.label, paper.for_whom) == (NAMELESS, NAMELESS, NAMELESS)
    assert other.body == "Nothing."
    assert set(Letter.objects.of(collection)) == {sent, other}
    assert standing_of(ola).rows == ()


def test_pressed_twice_it_is_done_once(ola, who):
    tap = Telling(once="tap")
    first, second = (
        erase_party(party=ola, by=who["by"], because="asked", telling=tap) for _ in range(2)
    )
    assert first.pk == second.pk


def test_a_keeper_erases_on_a_page(ola, collection, keeper_client, technician_client):
    path = f"/{collection.slug}/erase/N-018/"
    assert technician_client.get(path).status_code == 403
    page = keeper_client.get(path).content.decode()
    assert page.count("checked") == 2
    assert "The facts of 2 entries name them" in page
    first = Event.objects.of(collection).get(words__contains="car park").sequence
    answer = keeper_client.post(
        path, {"entries": [first], "because": "asked", "sure": "on"}, follow=True
    )
    assert NAMELESS.encode() in answer.content
    assert not Event.objects.of(collection).filter(words__contains="car park").exists()
    assert Party.objects.of(collection).get(code="N-018").name == NAMELESS
    line = keeper_client.get(f"/{collection.slug}/book/?subject=N-018").content.decode()
    assert "What was kept of this person or firm taken out: asked." in line
