"""Nothing of a collection is reached but by a member of it."""

from http import HTTPStatus

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.http import HttpResponse
from django.test import Client, override_settings
from django.urls import path
from django.utils import timezone

from registry.access import actions
from registry.access.gate import needs, outside_collections
from registry.access.roles import Role, covers
from tests.builders import a_collection, a_member, client_of

pytestmark = pytest.mark.django_db


def plain(request, **kwargs):
    return HttpResponse(f"{request.collection} {sorted(kwargs)}")


def unmarked(request):
    return HttpResponse("nobody guards this")


urlpatterns = [
    path("", outside_collections(unmarked), name="collections"),
    path("unmarked/", lambda request: unmarked(request)),
    path("<slug:collection>/plain/<slug:code>/", plain),
    path("<slug:collection>/keepers/", needs(Role.KEEPER)(plain)),
    path("<slug:collection>/everybody/", needs(Role.VIEWER)(plain)),
]
handler403 = "registry.access.views.refused"


@pytest.fixture(autouse=True)
def _own_addresses():
    with override_settings(
        ROOT_URLCONF=__name__,
        LOGIN_URL="/sign-in/",
        TEMPLATES=[
            {
                "BACKEND": "django.template.backends.django.DjangoTemplates",
                "OPTIONS": {
                    "loaders": [
                        ("django.template.loaders.locmem.Loader", {"403.html": "{{ reason }}"})
                    ]
                },
            }
        ],
    ):
        yield


def test_a_member_comes_in_and_the_view_sees_no_slug(technician_client, collection):
    answer = technician_client.get(f"/{collection.slug}/plain/A-007/")
    assert answer.text == f"{collection.name} ['code']"


def test_a_stranger_and_a_missing_collection_get_the_same_answer(stranger, collection):
    client = client_of(stranger)
    for slug in (collection.slug, "no-such"):
        assert client.get(f"/{slug}/plain/a/").status_code == HTTPStatus.NOT_FOUND


def test_signed_out_one_is_asked_to_sign_in_whether_the_collection_exists_or_not(collection):
    for slug in (collection.slug, "no-such"):
        answer = Client().get(f"/{slug}/plain/a/?page=2")
        assert answer.url == f"/sign-in/?next=/{slug}/plain/a/%3Fpage%3D2"


def test_a_former_member_is_a_stranger(technician, collection):
    client = client_of(technician)
    actions.end_membership(technician, now=timezone.now())
    assert client.get(f"/{collection.slug}/plain/a/").status_code == HTTPStatus.NOT_FOUND
    actions.resume_membership(technician)
    assert client.get(f"/{collection.slug}/plain/a/").status_code == HTTPStatus.OK


def test_a_view_outside_collections_must_say_so():
    with pytest.raises(ImproperlyConfigured, match="/unmarked/"):
        Client().get("/unmarked/")
    assert Client().get("/").status_code == HTTPStatus.OK


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
def test_a_viewer_writes_nowhere_unless_a_view_allows_it(viewer_client, collection, method):
    send = getattr(viewer_client, method)
    assert send(f"/{collection.slug}/plain/a/").status_code == HTTPStatus.FORBIDDEN
    assert send(f"/{collection.slug}/everybody/").status_code == HTTPStatus.OK


def test_a_refusal_names_both_roles(technician_client, collection):
    answer = technician_client.get(f"/{collection.slug}/keepers/")
    assert answer.status_code == HTTPStatus.FORBIDDEN
    assert "role of keeper" in answer.text
    assert "you are a technician" in answer.text


def test_a_keeper_passes_where_a_keeper_is_needed(keeper_client, collection):
    assert keeper_client.get(f"/{collection.slug}/keepers/").status_code == HTTPStatus.OK


def test_a_role_in_one_collection_counts_for_nothing_in_another(collection):
    other = a_collection()
    viewer = a_member(collection, role=Role.VIEWER)
    a_member(other, person=viewer.person, role=Role.KEEPER)
    client = client_of(viewer)
    assert client.get(f"/{collection.slug}/keepers/").status_code == HTTPStatus.FORBIDDEN
    assert client.get(f"/{other.slug}/keepers/").status_code == HTTPStatus.OK


def test_every_role_covers_itself_and_those_below():
    order = [Role.VIEWER, Role.TECHNICIAN, Role.KEEPER]
    covered = {(held, needed) for held in order for needed in order if covers(held, needed)}
    assert covered == {(order[i], order[j]) for i in range(3) for j in range(i + 1)}
