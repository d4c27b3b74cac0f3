"""Songs, set lists of tours and of shows, and the grid for the dark stage."""

import pytest
from django.utils import timezone

from collection.catalogue.actions import add_piece
from collection.road.actions import add_show, set_position
from collection.road.overrides.actions import set_override
from collection.road.songs.models import SetListEntry, Song
from collection.road.songs.queries import changed_lines, set_list
from tests.road.builders import a_road

pytestmark = pytest.mark.django_db


@pytest.fixture
def road(technician):
    return a_road(technician, on=timezone.localdate(timezone=technician.collection.zone_info))


@pytest.fixture
def steel(technician):
    return add_piece(
        collection=technician.collection, by=technician, code="G-001", kind="instrument",
        name="Long Eight",
    )  # fmt: skip


@pytest.fixture
def press(technician_client, collection):
    return lambda path, **given: technician_client.post(f"/{collection.slug}/road/{path}", given)


@pytest.fixture
def ask(technician_client, collection):
    def get(path):
        answer = technician_client.get(f"/{collection.slug}/road/{path}")
        assert answer.status_code == 200
        return answer.content.decode()

    return get


def titles(road, show=None):
    return [line.song.title for line in set_list(road.tour, show)[0]]


def test_a_set_list_typed_line_by_line_makes_its_songs(press, road, collection):
    press(f"tours/{road.tour.code}/set-list/", titles="Low Water\n\n Salt Road \nLow Water")
    assert titles(road) == ["Low Water", "Salt Road", "Low Water"]
    assert Song.objects.of(collection).count() == 2


def test_a_show_with_a_set_list_of_its_own_leaves_the_tours_alone(press, road):
    press(f"tours/{road.tour.code}/set-list/", titles="Low Water\nSalt Road")
    press(f"shows/{road.show.code}/set-list/", titles="Salt Road")
    assert titles(road, road.show) == ["Salt Road"]
    assert titles(road) == ["Low Water", "Salt Road"]
    press(f"shows/{road.show.code}/set-list/", titles="")
    assert titles(road, road.show) == ["Low Water", "Salt Road"]


def test_a_set_list_too_long_to_be_read_is_refused_and_stays_typed(press, road):
    answer = press(f"tours/{road.tour.code}/set-list/", titles="\n".join(map(str, range(61))))
    assert "at most 60 fit" in answer.content.decode()
    assert not SetListEntry.objects.filter(tour=road.tour).exists()


def test_the_grid_marks_the_instruments_of_each_song(press, ask, road, steel):
    press("songs/add/", title="Low Water", instruments=["G-001"], note="C6")
    press(f"tours/{road.tour.code}/set-list/", titles="Low Water\nSalt Road")
    page = ask(f"shows/{road.show.code}/grid/")
    assert page.count('class="bar"') == 1
    assert "G-001" in page
    assert 'data-theme="stage"' in page  # dark unless chosen otherwise


def test_the_grid_says_what_plays_instead_that_night(press, ask, road, steel, technician):
    other = add_piece(
        collection=technician.collection, by=technician, code="G-003", kind="instrument"
    )
    position = set_position(tour=road.tour, number=6, name="lap steel", piece=steel)
    press("songs/add/", title="Low Water", instruments=["G-001"])
    press(f"tours/{road.tour.code}/set-list/", titles="Low Water")
    set_override(
        by=technician, position=position, show=road.show, piece=other, because="tuner slips"
    )
    page = ask(f"shows/{road.show.code}/grid/")
    assert "G-003" in page
    assert "instead of G-001" in page


def test_what_changed_in_the_set_is_said_in_sentences(press, road, technician):
    earlier = add_show(
        collection=road.collection, by=technician, tour=road.tour, venue=road.venue, number=13,
        on=road.show.on.replace(day=1),
    )  # fmt: skip
    press(f"tours/{road.tour.code}/set-list/", titles="A\nB\nC")
    press(f"shows/{road.show.code}/set-list/", titles="C\nB\nD")
    before, now = set_list(road.tour, earlier)[0], set_list(road.tour, road.show)[0]
    assert changed_lines(before, now) == (
        "New in the set: D.", "Not in the set: A.", "The order is another."
    )  # fmt: skip
    assert changed_lines(before, before) == ()


def test_a_viewer_reads_songs_and_writes_none(viewer_client, road, collection):
    base = f"/{collection.slug}/road/"
    assert viewer_client.get(f"{base}songs/").status_code == 200
    assert viewer_client.get(f"{base}shows/{road.show.code}/grid/").status_code == 200
    for path in ("songs/add/", f"tours/{road.tour.code}/set-list/",
                 f"shows/{road.show.code}/set-list/"):  # fmt: skip
        assert viewer_client.get(base + path).status_code == 403
        assert viewer_client.post(base + path, {"titles": "X", "title": "X"}).status_code == 403
    assert not Song.objects.of(collection).exists()


def test_the_grid_takes_as_many_queries_for_sixty_songs(
    road, technician_client, django_assert_num_queries, press, collection
):
    press(f"tours/{road.tour.code}/set-list/", titles="One")
    path = f"/{collection.slug}/road/shows/{road.show.code}/grid/"
    with django_assert_num_queries(8):
        technician_client.get(path)
    press(f"tours/{road.tour.code}/set-list/", titles="\n".join(f"Song {at}" for at in range(60)))
    with django_assert_num_queries(8):
        technician_client.get(path)
