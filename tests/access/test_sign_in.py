"""Signing in with a name and a password."""

import importlib
from http import HTTPStatus

import pytest
from django.conf import settings
from django.test import Client

from registry.access.models import Person
from registry.access.queries import name_tried
from tests.builders import PASSWORD, a_collection, a_member, a_person, client_of

pytestmark = pytest.mark.django_db
SIGN_IN = "/sign-in/"


def press(client: Client, username: str, password: str, **extra):
    return client.post(SIGN_IN, {"username": username, "password": password}, **extra)


def test_a_member_signs_in_whatever_the_case_of_the_name(client):
    a_person(username="ines")
    answer = press(client, " Ines", PASSWORD)
    assert answer.status_code == HTTPStatus.FOUND
    assert client.session["_auth_user_id"] == str(Person.objects.get(username="ines").pk)


def test_a_wrong_password_keeps_the_name_and_says_why_in_words(client):
    a_person(username="ines")
    answer = press(client, "ines", "not this one")
    assert "_auth_user_id" not in client.session
    assert 'value="ines"' in answer.text
    assert "No sign-in name and password like these" in answer.text


def test_the_answer_does_not_tell_whether_the_name_exists(client):
    a_person(username="quill-1")
    known = press(client, "quill-1", "not this one").text
    unknown = press(client, "quill-2", "not this one").text
    assert "No sign-in name" in known
    assert _without_tokens(known) == _without_tokens(unknown.replace("quill-2", "quill-1"))


def _without_tokens(page: str) -> list[str]:
    return [line for line in page.splitlines() if "csrfmiddlewaretoken" not in line]


def test_too_many_tries_with_one_name_from_one_address_must_wait(client):
    a_person(username="ines")
    for number in range(settings.AXES_FAILURE_LIMIT):
        # Another case of the same name opens no new count.
        answer = press(client, "ines" if number % 2 else "INES", "guess")
    assert answer.status_code == HTTPStatus.TOO_MANY_REQUESTS
    assert "15 minutes" in answer.text
    assert press(client, "ines", PASSWORD).status_code == HTTPStatus.TOO_MANY_REQUESTS
    assert "_auth_user_id" not in client.session


def test_guesses_from_elsewhere_do_not_shut_a_member_out(client):
    a_person(username="ines")
    for _ in range(settings.AXES_FAILURE_LIMIT):
        press(client, "ines", "guess", REMOTE_ADDR="192.0.2.66")
    assert press(client, "ines", PASSWORD).status_code == HTTPStatus.FOUND


def test_a_name_in_the_form_and_in_the_credentials_counts_as_one(rf):
    request = rf.post(SIGN_IN, {"username": " Ines "})
    assert name_tried(request) == name_tried(None, {"username": "INES"}) == "ines"


def test_after_sign_in_the_page_asked_for_comes(client):
    member = a_member(a_collection(slug="gear"), person=a_person(username="ines"))
    asked = client.get("/gear/people/")
    assert asked.url == f"{SIGN_IN}?next=/gear/people/"
    data = {"username": "ines", "password": PASSWORD, "next": "/gear/people/"}
    assert client.post(SIGN_IN, data).url == "/gear/people/"
    assert member.role == "technician"


def test_after_sign_in_nobody_is_sent_to_another_site(client):
    a_person(username="ines")
    data = {"username": "ines", "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert client.post(SIGN_IN, data).url == "/"


def test_signing_out_takes_a_post(client):
    client = client_of(a_person())
    assert client.get("/sign-out/").status_code == HTTPStatus.METHOD_NOT_ALLOWED
    client.post("/sign-out/")
    assert "_auth_user_id" not in client.session


def test_passwords_are_kept_with_argon2_first():
    # RFC 9106 describes Argon2; the tests' own settings take a fast hasher instead.
    site = importlib.import_module("registry.settings")
    assert site.PASSWORD_HASHERS[0].endswith("Argon2PasswordHasher")


def test_a_password_is_changed_only_with_the_old_one():
    person = a_person()
    client = client_of(person)
    new = {"new_password1": "eight ohm dummy load", "new_password2": "eight ohm dummy load"}
    assert client.post("/password/", {"old_password": "a guess", **new}).status_code == 200
    person.refresh_from_db()
    assert person.check_password(PASSWORD)
    assert client.post("/password/", {"old_password": PASSWORD, **new}).status_code == 302
    person.refresh_from_db()
    assert person.check_password("eight ohm dummy load")
    assert client.get("/password/").status_code == HTTPStatus.OK, "still signed in"


@pytest.mark.parametrize("weak", ["short", "1234567890123", "password123"])
def test_a_weak_password_is_refused_beside_the_field(weak):
    client = client_of(a_person(password=None))
    answer = client.post("/password/", {"new_password1": weak, "new_password2": weak})
    assert answer.status_code == HTTPStatus.OK
    assert answer.context["form"].errors["new_password2"]


def test_a_refusal_at_the_door_speaks_of_no_saving(client):
    page = press(client, "ines", "wrong").content.decode()
    assert "Not let in." in page
    assert "Not saved" not in page
