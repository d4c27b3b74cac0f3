"""A piece leaves with its history: private parties by role, permits looked at, consent kept."""

import io
import json
import zipfile

import pytest

from collection.catalogue.queries import pieces
from collection.core import dossier_check
from collection.core.events.answered import Answered
from collection.core.events.asked import Asked
from collection.core.events.lent import Lent
from collection.core.events.title_changed import TitleChanged
from collection.custody import actions as custody
from collection.ledger import proof
from collection.ledger.actions import open_book
from collection.ledger.models import Event, State
from collection.ledger.sealing.actions import seal
from collection.ledger.telling import Telling
from collection.papers.handing_over import actions
from collection.papers.models import PaperMade
from collection.papers.permits.models import PartMaterial
from registry import clock
from registry.access.roles import Role
from tests.builders import a_collection, a_member, client_of
from tests.papers.dossier.story import CODE, OWNER, SELLER, a_history
from tests.typesetting.reading import text_of

pytestmark = pytest.mark.django_db
BUYER = "Hale of Ayr"


@pytest.fixture
def history():
    collection = a_collection()
    made = a_history(collection, a_member(collection, role=Role.KEEPER))
    custody.add_party(collection=collection, by=made.by, name=BUYER, code="N-709")
    with open_book(collection, made.by) as book:
        open_ones = Event.objects.of(collection).filter(kind="asked")
        for asked in open_ones:
            book.append(_answer(), asked.subject.code, answers=asked.sequence)
    return made


def _answer():
    return Answered("settled")


def address(history):
    return f"/{history.collection.slug}/papers/hand-over/{CODE}/"


def handed(history, **changed):
    typed = {"way": "sold", "to": "N-709", "once": "p1"}
    typed["lines"] = [history.number("acquired"), history.number("corrected")]
    return client_of(history.by).post(address(history), typed | changed)


def files(answer):
    assert answer["Content-Type"] == "application/zip", answer.content.decode()[:3000]
    packed = zipfile.ZipFile(io.BytesIO(answer.content))
    return {name: packed.read(name) for name in packed.namelist()}


def state(history):
    return State.objects.get(subject__code=CODE, collection=history.collection)


def test_a_sale_is_written_in_one_act_and_its_papers_hold_under_the_root(history):
    found = files(handed(history))
    sold, title = Event.objects.filter(kind__in=["sold", "title_changed"]).order_by("sequence")
    assert sold.act == title.act
    assert (state(history).standing, state(history).owner.code) == ("sold", "N-709")
    size, root = proof.root_of(history.collection)
    checked = dossier_check.check(found["entries.json"], root=f"{size}:{root}")
    assert checked.fits
    assert {sold.sequence, title.sequence} <= {one.number for one in checked.entries}
    assert checked.against == "given"


def test_the_history_is_checked_against_an_older_seal_too(history):
    older = seal(collection=history.collection, by=history.by, went_to="N-701")
    found = files(handed(history))
    root = f"{older.facts['size']}:{older.facts['root']}"
    assert dossier_check.check(found["entries.json"], root=root).against == "seal"


def test_one_byte_changed_in_the_history_is_found(history):
    data = files(handed(history))["entries.json"]
    size, root = proof.root_of(history.collection)
    assert b"2011-05-02" in data
    changed = data.replace(b"2011-05-02", b"2011-05-03", 1)
    assert not dossier_check.check(changed, root=f"{size}:{root}").fits


def test_private_parties_go_by_role_unless_they_agreed(history):
    found = files(handed(history))
    said = text_of(found[f"dossier-{CODE}.pdf"]) + found["entries.json"].decode()
    for hidden in (SELLER, OWNER, "Kirkcudbright", "MV-7F-42", "620000"):
        assert hidden not in said, hidden
    assert "pub player" in said


def test_who_agreed_stays_by_name_and_how_is_kept_in_the_book(history):
    found = files(handed(history, **{"agreed_N-701": "by telephone, 3 June 2026"}))
    assert SELLER in text_of(found[f"dossier-{CODE}.pdf"])
    noted = Event.objects.filter(kind="noted", facts__about__startswith="consent").get()
    assert noted.words == "by telephone, 3 June 2026"
    assert "N-701" in noted.facts["about"]
    assert noted.act == Event.objects.get(kind="sold").act
    assert "by telephone" not in found["entries.json"].decode()


def test_back_to_its_owner_is_given_back_and_to_anybody_else_is_refused(history):
    wrong = handed(history, way="back")
    assert wrong.status_code == 422
    assert "somebody else owns it" in wrong.content.decode()
    assert not Event.objects.filter(kind="hired_back").exists()
    files(handed(history, way="back", to="N-702"))
    assert state(history).standing == "given_back"


def _stolen(history):
    custody.report_theft(collection=history.collection, by=history.by, pieces=[CODE])


def _quarantined(history):
    _stolen(history)
    custody.recover(collection=history.collection, by=history.by, code=CODE, at="P-701")


def _lent(history):
    _say(
        history,
        Lent(to="N-709", reason="one record"),
        Telling(str(clock.today(history.collection.zone_info))),
    )


def _title_unclear(history):
    _say(history, TitleChanged(owner="N-709"), Telling("2020"))
    _say(history, TitleChanged(owner="N-702"), Telling("2020-06"))


def _title_doubtful(history):
    _say(history, TitleChanged(owner="N-709"), Telling("2020", certainty="doubtful"))


def _title_asked(history):
    with open_book(history.collection, history.by) as book:
        code = book.new_subject("question").code
        book.append(Asked(question="Who owns it?", about=CODE), code)


def _say(history, facts, telling=None):
    with open_book(history.collection, history.by) as book:
        book.append(facts, CODE, telling or Telling("2026-06-01"))


@pytest.mark.parametrize(
    ("spoilt", "says"),
    [
        (_stolen, "it is stolen"),
        (_quarantined, "in quarantine"),
        (_lent, "has it"),
        (_title_unclear, "which came later is not known"),
        (_title_doubtful, "is doubtful"),
        (_title_asked, "Who owns it?"),
    ],
)
def test_what_may_not_leave_is_refused_with_its_reason(history, spoilt, says):
    spoilt(history)
    size = proof.root_of(history.collection)[0]
    answer = handed(history)
    assert answer.status_code == 422
    assert says in answer.content.decode()
    assert proof.root_of(history.collection)[0] == size
    assert not PaperMade.objects.exists()


def test_protected_material_is_looked_at_before_it_leaves(history):
    piece = pieces(history.collection).get(code=CODE)
    PartMaterial.objects.create(
        piece=piece,
        part="fretboard",
        trade="rosewood",
        scientific="Dalbergia nigra",
        natural=True,
        entry=0,
    )
    answer = handed(history)
    assert answer.status_code == 422
    assert "may need a permit" in answer.content.decode()
    files(handed(history, permits_seen="on"))


def test_pressed_twice_it_leaves_once_and_the_papers_come_again(history):
    first, second = files(handed(history)), files(handed(history))
    assert Event.objects.filter(kind="sold").count() == 1
    assert PaperMade.objects.count() == 1
    one, other = (json.loads(found["entries.json"]) for found in (first, second))
    assert [e["proof"] for e in one["entries"]] == [e["proof"] for e in other["entries"]]


def test_a_paper_that_cannot_be_made_leaves_nothing_in_the_book(history, monkeypatch):
    def broken(**_):
        raise RuntimeError("no ink")

    monkeypatch.setattr(actions, "make_dossier", broken)
    with pytest.raises(RuntimeError):
        handed(history)
    assert not Event.objects.filter(kind="sold").exists()


def test_only_a_keeper_hands_over(history):
    technician = a_member(history.collection, role=Role.TECHNICIAN)
    assert client_of(technician).get(address(history)).status_code == 403


def test_the_page_asks_few_questions_of_the_database(history, django_assert_max_num_queries):
    client = client_of(history.by)
    with django_assert_max_num_queries(30):
        assert client.get(address(history)).status_code == 200
