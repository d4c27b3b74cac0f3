"""A keeper decides who else may enter."""

from http import HTTPStatus

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.db.models import ProtectedError
from django.test import Client
from django.utils import timezone

from registry.access import actions, queries
from registry.access.models import Collection, Membership, OneTimeLink, Person
from registry.access.roles import Role
from tests.builders import a_collection, a_member, a_person, client_of

pytestmark = pytest.mark.django_db
INVITED = {"name": "Abel Roth", "username": "Abel", "role": "technician"}


def test_an_invited_person_comes_in_by_the_link_the_keeper_saw(keeper_client, collection):
    answer = keeper_client.post(f"/{collection.slug}/people/", INVITED)
    link = answer.context["link"]
    assert link in answer.text
    theirs = Client()
    assert theirs.post(link).url == "/password/"
    membership = queries.membership_of(Person.objects.get(username="abel"), collection.slug)
    assert (membership.role, membership.code, membership.name) == (
        "technician",
        "abel",
        "Abel Roth",
    )


def test_the_link_is_shown_only_once(keeper_client, collection):
    link = keeper_client.post(f"/{collection.slug}/people/", INVITED).context["link"]
    assert link not in keeper_client.get(f"/{collection.slug}/people/").text


def test_whoever_signs_in_already_is_let_in_without_a_link(keeper_client, collection):
    a_person(username="abel")
    keeper_client.post(f"/{collection.slug}/people/", INVITED)
    assert queries.membership_of(Person.objects.get(username="abel"), collection.slug)
    assert not OneTimeLink.objects.exists()


@pytest.mark.parametrize("username", ["Abel Roth", "7abel", "äbel", "-a", "a" * 33])
def test_a_sign_in_name_that_cannot_be_is_refused_beside_the_field(
    keeper_client, collection, username
):
    data = INVITED | {"username": username}
    answer = keeper_client.post(f"/{collection.slug}/people/", data)
    assert answer.context["form"].errors["username"]
    assert not Person.objects.filter(name="Abel Roth").exists()


def test_a_code_of_a_former_member_is_never_given_again(keeper_client, collection):
    former = a_member(collection, person=a_person(username="abel"))
    actions.end_membership(former, now=timezone.now())
    answer = keeper_client.post(f"/{collection.slug}/people/", INVITED)
    assert answer.context["form"].errors["username"]
    with pytest.raises(IntegrityError):
        Membership.objects.create(
            collection=collection, person=a_person(), role="viewer", code="abel", name="Another"
        )


def test_only_a_keeper_sees_and_changes_people(technician, viewer, collection):
    for member in (technician, viewer):
        client = client_of(member)
        assert client.get(f"/{collection.slug}/people/").status_code == HTTPStatus.FORBIDDEN
        for act in ("role", "link", "end", "resume"):
            address = f"/{collection.slug}/people/{technician.code}/{act}/"
            answer = client.post(address, {"role": "keeper"})
            assert answer.status_code == HTTPStatus.FORBIDDEN, act
    technician.refresh_from_db()
    assert (technician.role, technician.ended_at) == ("technician", None)


def test_a_keeper_gives_another_role(keeper_client, technician, collection):
    address = f"/{collection.slug}/people/{technician.code}/role/"
    keeper_client.post(address, {"role": "viewer"})
    technician.refresh_from_db()
    assert technician.role == Role.VIEWER
    keeper_client.post(address, {"role": "emperor"})
    technician.refresh_from_db()
    assert technician.role == Role.VIEWER


def test_a_keeper_lets_a_member_go_and_takes_them_back(keeper_client, technician, collection):
    people = f"/{collection.slug}/people/"
    keeper_client.post(f"{people}{technician.code}/end/")
    assert queries.membership_of(technician.person, collection.slug) is None
    assert queries.member_names(collection)[technician.code] == technician.name
    keeper_client.post(f"{people}{technician.code}/resume/")
    assert queries.membership_of(technician.person, collection.slug) == technician


def test_the_last_keeper_can_neither_leave_nor_step_down(keeper):
    for act, values in (
        (actions.change_role, {"role": Role.VIEWER}),
        (actions.end_membership, {"now": timezone.now()}),
    ):
        with pytest.raises(ValidationError, match="last keeper"):
            act(keeper, **values)
    second = a_member(keeper.collection, role=Role.KEEPER)
    assert actions.change_role(keeper, role=Role.VIEWER).role == Role.VIEWER
    with pytest.raises(ValidationError, match="last keeper"):
        actions.end_membership(second, now=timezone.now())


def test_a_member_of_another_collection_cannot_be_changed_from_here(keeper_client, collection):
    elsewhere = a_member(a_collection())
    for act in ("role", "link", "end", "resume"):
        address = f"/{collection.slug}/people/{elsewhere.code}/{act}/"
        assert keeper_client.post(address, {"role": "keeper"}).status_code == 404
    elsewhere.refresh_from_db()
    assert (elsewhere.role, elsewhere.ended_at) == ("technician", None)


def test_a_member_is_never_deleted_with_the_person_or_the_collection(technician, collection):
    with pytest.raises(ProtectedError):
        technician.person.delete()
    with pytest.raises(ProtectedError):
        collection.delete()


def test_a_book_has_a_random_name_of_128_bits():
    books = {a_collection().book for _ in range(3)}
    assert len(books) == 3
    assert all(len(book) == 32 and int(book, 16) >= 0 for book in books)


@pytest.mark.parametrize(
    ("field", "value"),
    [("slug", "sign-in"), ("slug", "Gear"), ("zone", "Europe/Atlantis"), ("currency", "euro")],
)
def test_a_collection_that_could_not_be_reached_or_dated_is_refused(field, value):
    given = {"name": "Gear", "slug": "gear", "zone": "UTC", "currency": "EUR"} | {field: value}
    with pytest.raises(ValidationError) as refusal:
        actions.open_collection(**given)
    assert list(refusal.value.message_dict) == [field]
    assert not Collection.objects.exists()


def test_the_chooser_lists_what_is_yours_and_says_when_nothing_is():
    person = a_person()
    client = client_of(person)
    assert person.username in client.get("/").text
    mine = [a_collection(), a_collection()]
    others = a_collection()
    for collection in mine:
        a_member(collection, person=person)
    page = client.get("/").text
    assert all(f"/{collection.slug}/" in page for collection in mine)
    assert others.slug not in page
