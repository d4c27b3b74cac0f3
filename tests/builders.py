"""Plain builders: each makes one thing through the same actions that pages call."""

from itertools import count

from django.test import Client

from registry.access import actions
from registry.access.models import Collection, Membership, Person
from registry.access.roles import Role

PASSWORD = "loose patch lead 7"
_numbers = count(1)


def a_person(
    *, username: str = "", name: str = "Ines Holt", password: str | None = PASSWORD
) -> Person:
    """Somebody who can sign in with `PASSWORD`."""
    username = username or f"person-{next(_numbers)}"
    return actions.add_person(username=username, name=name, password=password)


def a_collection(*, slug: str = "", zone: str = "Europe/Lisbon") -> Collection:
    """An empty collection."""
    slug = slug or f"gear-{next(_numbers)}"
    return actions.open_collection(name=f"Gear of {slug}", slug=slug, zone=zone)


def a_member(
    collection: Collection, *, role: str = Role.TECHNICIAN, person: Person | None = None
) -> Membership:
    """Somebody in the collection; a new person unless one is given."""
    return actions.join(collection, person or a_person(), role=role)


def client_of(member: Membership | Person) -> Client:
    """A browser in which this member is signed in."""
    client = Client()
    client.force_login(member.person if isinstance(member, Membership) else member)
    return client
