"""The artist's page and production's page: for those who read and type nothing."""

from datetime import time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from collection.bench.actions import fault, serve
from collection.road.actions import add_outside_candidate, add_quote, add_show
from collection.road.overrides.actions import set_override
from collection.road.songs.actions import write_set_list
from tests.road.builders import a_road, an_amplifier

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    today = timezone.localdate(timezone=technician.collection.zone_info)
    made = a_road(technician, on=today, doors=time(23, 58), on_stage=time(23, 59), off_stage=None)
    add_show(
        collection=made.collection, by=technician, tour=made.tour, venue=made.venue, number=13,
        on=today - timedelta(days=2), on_stage=time(20), off_stage=time(22),
    )  # fmt: skip
    return made


def test_the_artist_reads_tonight_by_song_and_what_changed(viewer_client, road, technician):
    write_set_list(tour=road.tour, titles=["Low Water", "Salt Road"])
    write_set_list(tour=road.tour, show=road.show, titles=["Salt Road"])
    other = an_amplifier(technician, "A-021", at=road.truck)
    set_override(
        by=technician, position=road.position, show=road.show, piece=other, because="new tubes"
    )
    fault(collection=road.collection, by=technician, code="A-021", symptom="crackles")
    page = viewer_client.get(f"/{road.collection.slug}/artist/").content.decode()
    assert "Salt Road" in page
    assert "Not in the set: Low Water." in page
    assert "new tubes" in page.casefold()
    assert "crackles" in page
    assert "<button" not in page.split("<main")[1].split("</main")[0]


def test_what_the_artist_would_not_hear_stays_off_the_page(viewer_client, road, technician):
    assert "as last night" in viewer_client.get(f"/{road.collection.slug}/artist/").content.decode()
    serve(collection=road.collection, by=technician, code="A-003", what="strings")
    assert "as last night" not in (
        viewer_client.get(f"/{road.collection.slug}/artist/").content.decode()
    )


def test_without_a_show_the_artists_page_says_so(viewer_client, collection):
    assert "No show" in viewer_client.get(f"/{collection.slug}/artist/").content.decode()


def test_production_reads_weights_mains_pack_and_money(viewer_client, road, technician):
    piece = road.position.piece
    piece.mass_grams, piece.size, piece.connectors = 31_500, "60 × 50 × 30 cm", "jack"
    piece.mains_volts, piece.mains_hz = 230, "50"
    piece.save()
    held = add_outside_candidate(
        collection=road.collection, name="combo", kind="amplifier", held_by="hire", at=road.venue,
    )  # fmt: skip
    now = timezone.now()
    add_quote(
        collection=road.collection, by=technician, to=road.venue, outside=held, what="road",
        leaves_at=now, arrives_at=now + timedelta(hours=1), basis="quoted", cost="900 NOK",
    )  # fmt: skip
    page = viewer_client.get(f"/{road.collection.slug}/production/{road.tour.code}/")
    text = page.content.decode()
    for said in ("31.5", "two people", "60 × 50 × 30 cm", "230 V, 50 Hz", "jack", "900 NOK",
                 "nobody has authorised it yet", road.truck.code):  # fmt: skip
        assert said in text, said
    assert [box.place.code for box in page.context["seen"].boxes] == [road.truck.code]


def test_both_pages_take_as_many_queries_at_any_size(viewer_client, road, technician):
    base = f"/{road.collection.slug}/"
    paths = (f"{base}artist/", f"{base}production/{road.tour.code}/")
    write_set_list(tour=road.tour, titles=["One"])
    counted = []
    for _ in range(2):
        for path in paths:
            viewer_client.get(path)
        counted.append([_queries(viewer_client, path) for path in paths])
        write_set_list(tour=road.tour, titles=[f"Song {at}" for at in range(20)])
        for at in range(6):
            an_amplifier(technician, f"A-5{at}{len(counted)}", at=road.truck)
    assert counted[0] == counted[1]


def _queries(client, path):
    with CaptureQueriesContext(connection) as seen:
        assert client.get(path).status_code == 200
    return len(seen)
