"""The demo's charts: echoes and amplifiers filled, the motor of a donor, sockets read again."""

import pytest

from collection.bench.hours.queries import hours_of
from collection.catalogue.models import Piece
from collection.ledger.models import Event
from collection.stock.sockets.chart import chart_of
from tests.builders import client_of

pytestmark = pytest.mark.django_db


def _piece(demo, code: str) -> Piece:
    rows = Piece.objects.of(demo.collection)
    return rows.select_related("circuit", "subject__state", "collection").get(code=code)


def test_ten_amplifiers_and_echoes_at_least_have_full_charts(demo):
    charted = Piece.objects.of(demo.collection).filter(
        circuit__isnull=False, kind__in=("amplifier", "effect")
    )
    charts = [chart_of(piece) for piece in charted.select_related("circuit", "subject__state")]
    full = [chart for chart in charts if all(socket.fitted for socket in chart.sockets)]
    assert len(full) >= 10


def test_the_motor_of_the_donor_stands_in_both_histories_with_its_worn_one_kept(demo):
    fitted = Event.objects.of(demo.collection).get(
        kind="fitted", facts__part="MT-05", facts__how="done"
    )
    assert fitted.names["donor"] == "E-005"
    act = Event.objects.of(demo.collection).filter(act=fitted.act).order_by("sequence")
    kinds = ["stripped_for_parts", "removed", "fitted"]
    assert [one.kind for one in act if one.kind in kinds] == kinds
    sockets = {s.position.name: s.fitted for s in chart_of(_piece(demo, "E-006")).sockets}
    assert sockets["motor"].part.code == "MT-05"
    gave = {s.position.name: s.fitted for s in chart_of(_piece(demo, "E-005")).sockets}
    assert gave["motor"] is None


def test_the_stand_by_twelve_shows_its_doubts(demo):
    doubts = [bool(socket.doubts) for socket in chart_of(_piece(demo, "A-016")).sockets]
    assert doubts == [False, True, False, True]


def test_the_meter_of_the_head_ran_a_little_more_than_was_logged(demo):
    newest = hours_of(_piece(demo, "A-007")).readings[0]
    assert 0 < newest.differs < 5


@pytest.mark.parametrize("page", ["pieces/A-007/", "pieces/A-016/", "sockets/A-007/read-again/",
                                  "bench/hours/A-007/", "road/sessions/", "stock/part/MT-05/",
                                  "stock/part/OS-14/"])  # fmt: skip
def test_every_page_of_it_opens(demo, page):
    client = client_of(demo.members["ines"])
    assert client.get(f"/{demo.collection.slug}/{page}").status_code == 200
