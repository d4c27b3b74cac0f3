"""A link that signs in once."""

from datetime import timedelta
from http import HTTPStatus

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from registry.access import actions
from registry.access.models import Collection, OneTimeLink
from registry.access.queries import open_link
from registry.access.roles import Role
from tests.builders import a_collection, a_member, a_person, client_of

pytestmark = pytest.mark.django_db
A_DAY = timedelta(days=1)


def a_link(person, *, asks_password=True) -> str:
    return actions.make_link(
        person, now=timezone.now(), lifetime=A_DAY, asks_password=asks_password
    )


def test_looking_at_the_link_neither_signs_in_nor_spends_it(client):
    token = a_link(a_person())
    for _ in range(2):
        answer = client.get(f"/link/{token}/")
        assert answer.status_code == HTTPStatus.OK
    assert "_auth_user_id" not in client.session
    assert OneTimeLink.objects.get().spent_at is None


def test_a_press_signs_in_once_and_never_again(client):
    person = a_person(password=None)
    token = a_link(person)
    assert client.post(f"/link/{token}/").url == "/password/"
    assert client.session["_auth_user_id"] == str(person.pk)
    client.logout()
    assert client.post(f"/link/{token}/").status_code == HTTPStatus.GONE
    assert client.get(f"/link/{token}/").status_code == HTTPStatus.GONE
    assert "_auth_user_id" not in client.session


def test_of_two_presses_at_once_the_second_finds_it_spent(monkeypatch):
    token = a_link(a_person())
    seen_open = open_link(token, now=timezone.now())
    assert actions.spend_link(token, now=timezone.now()) is not None
    # The second press read the link before the first wrote.
    monkeypatch.setattr(actions, "open_link", lambda token, now: seen_open)
    assert actions.spend_link(token, now=timezone.now()) is None


def test_a_link_that_has_run_out_does_nothing():
    token = a_link(a_person())
    assert actions.spend_link(token, now=timezone.now() + A_DAY + A_DAY) is None


def test_the_database_keeps_no_token():
    token = a_link(a_person())
    kept = OneTimeLink.objects.values().get()
    assert not any(token in str(value) for value in kept.values())


def test_a_fresh_link_stands_in_for_the_old_password(client):
    person = a_person()
    client.post(f"/link/{a_link(person)}/")
    new = {"new_password1": "eight ohm dummy load", "new_password2": "eight ohm dummy load"}
    assert client.post("/password/", new).url == "/"
    person.refresh_from_db()
    assert person.check_password("eight ohm dummy load")
    assert "old_password" in client.get("/password/").text, "only once"


def test_a_link_for_the_demo_goes_straight_in(client):
    member = a_member(a_collection(slug="gear"))
    token = a_link(member.person, asks_password=False)
    assert client.post(f"/link/{token}/").url == "/"
    assert client.get("/").url == "/gear/"


def test_the_first_keeper_gets_a_collection_and_a_link(client, capsys):
    call_command("keeper", "--collection", "gear", "--zone", "Europe/Lisbon", "--first-only")
    address = capsys.readouterr().out.split()[-1].removeprefix("http://127.0.0.1:8000")
    client.post(address)
    collection = Collection.objects.get(slug="gear")
    assert client.session["_auth_user_id"]
    assert collection.memberships.get().role == Role.KEEPER
    assert collection.zone == "Europe/Lisbon"


def test_a_first_keeper_without_a_password_gets_another_link(capsys):
    for expected in ("/link/", "/link/"):
        call_command("keeper", "--first-only")
        assert expected in capsys.readouterr().out
    member = Collection.objects.get().memberships.get()
    actions.set_password(member.person, password="eight ohm dummy load")
    call_command("keeper", "--first-only")
    assert "/link/" not in capsys.readouterr().out


def test_whoever_runs_the_machine_can_make_a_link_for_anybody(client, capsys):
    person = a_person(username="ines")
    call_command("link", "Ines")
    client.post(capsys.readouterr().out.strip().removeprefix("http://127.0.0.1:8000"))
    assert client.session["_auth_user_id"] == str(person.pk)
    with pytest.raises(CommandError, match="abel"):
        call_command("link", "abel")


def test_a_keeper_makes_no_link_into_another_collection():
    here, there = a_collection(), a_collection()
    person = a_person()
    member = a_member(here, person=person)
    a_member(there, person=person, role=Role.KEEPER)
    keeper = client_of(a_member(here, role=Role.KEEPER))
    answer = keeper.post(f"/{here.slug}/people/{member.code}/link/")
    assert answer.status_code == HTTPStatus.FOUND
    assert not OneTimeLink.objects.exists()


def test_a_new_link_ends_the_older_ones():
    member = a_member(a_collection())
    older = a_link(member.person)
    actions.renew_link(member, now=timezone.now(), lifetime=A_DAY)
    assert open_link(older, now=timezone.now()) is None
