"""What changes who may enter: one function an act."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction

from registry.access.models import Collection, Membership, OneTimeLink, Person
from registry.access.queries import hash_of, open_link, other_keepers, signs_in_elsewhere
from registry.access.roles import Role

TOKEN_BYTES = 32


@dataclass(frozen=True)
class Invited:
    """A new member, and the token of the link to hand over, or '' for one who can sign in."""

    membership: Membership
    token: str


@transaction.atomic
def add_person(*, username: str, name: str, email: str = "", password: str | None = None) -> Person:
    """Add somebody who can sign in; without a password only by a one-time link."""
    person = Person(username=username.lower(), name=name, email=email)
    person.set_password(password)
    person.full_clean(exclude=["password"])
    person.save()
    return person


def set_password(person: Person, *, password: str) -> Person:
    """Give somebody a password that a form has found good enough."""
    person.set_password(password)
    person.save(update_fields=["password"])
    return person


def set_email(person: Person, *, email: str) -> Person:
    """Where somebody's letters go; '' for nowhere."""
    person.email = email
    person.save(update_fields=["email"])
    return person


@transaction.atomic
def open_collection(
    *, name: str, slug: str, zone: str = "UTC", currency: str = "EUR"
) -> Collection:
    """Open a new collection with a book of its own."""
    collection = Collection(name=name, slug=slug, zone=zone, currency=currency)
    collection.full_clean()
    collection.save()
    return collection


@transaction.atomic
def join(
    collection: Collection, person: Person, *, role: str, code: str = "", name: str = ""
) -> Membership:
    """Make a person a member, under a code that the book will know them by for ever."""
    membership = Membership(
        collection=collection,
        person=person,
        role=role,
        code=code or person.username,
        name=name or person.name,
    )
    membership.full_clean()
    membership.save()
    return membership


def make_link(
    person: Person, *, now: datetime, lifetime: timedelta, asks_password: bool = True
) -> str:
    """Make a one-time link and return its token, which is kept nowhere."""
    token = secrets.token_urlsafe(TOKEN_BYTES)
    OneTimeLink.objects.create(
        person=person,
        token_hash=hash_of(token),
        asks_password=asks_password,
        expires_at=now + lifetime,
    )
    return token


def spend_link(token: str, *, now: datetime) -> OneTimeLink | None:
    """Spend the link of this token; None when it was spent, has run out or never was."""
    link = open_link(token, now=now)
    if link is None:
        return None
    # Of two presses at once, one row update wins.
    won = OneTimeLink.objects.filter(pk=link.pk, spent_at=None).update(spent_at=now)
    return link if won else None


@transaction.atomic
def invite(
    collection: Collection,
    *,
    username: str,
    name: str,
    role: str,
    now: datetime,
    lifetime: timedelta,
) -> Invited:
    """Make somebody a member; a person new to the site gets a one-time link.

    Whoever already signs in here gets no link: a keeper of one collection could otherwise
    enter another one as them.
    """
    person = Person.objects.filter(username=username.lower()).first()
    if person is not None:
        return Invited(join(collection, person, role=role, name=name), token="")
    person = add_person(username=username, name=name)
    membership = join(collection, person, role=role)
    return Invited(membership, make_link(person, now=now, lifetime=lifetime))


@transaction.atomic
def renew_link(membership: Membership, *, now: datetime, lifetime: timedelta) -> str:
    """Make a new link for a member who cannot sign in, and let their older ones run out."""
    if membership.ended_at is not None:
        raise ValidationError(f"{membership.name} is no longer a member.")
    if signs_in_elsewhere(membership):
        raise ValidationError(
            f"{membership.name} is a member of another collection too, and a link would open "
            "that one as well. Whoever runs the site can make one: manage.py link."
        )
    OneTimeLink.objects.filter(person=membership.person, spent_at=None).update(spent_at=now)
    return make_link(membership.person, now=now, lifetime=lifetime)


@transaction.atomic
def set_finder_contact(collection: Collection, *, contact: str) -> Collection:
    """Say whom a finder of a piece rings; empty, nobody is named."""
    collection.finder_contact = contact
    collection.full_clean(exclude=["book"])
    collection.save(update_fields=["finder_contact"])
    return collection


@transaction.atomic
def change_role(membership: Membership, *, role: str) -> Membership:
    """Give a member another role; the last keeper stays one."""
    held = _locked(membership)
    if role != Role.KEEPER:
        _refuse_without_keeper(held)
    held.role = role
    held.full_clean()
    held.save(update_fields=["role"])
    return held


@transaction.atomic
def end_membership(membership: Membership, *, now: datetime) -> Membership:
    """Let a member go; their code and what they wrote stay in the book."""
    held = _locked(membership)
    _refuse_without_keeper(held)
    held.ended_at = held.ended_at or now
    held.save(update_fields=["ended_at"])
    return held


@transaction.atomic
def resume_membership(membership: Membership) -> Membership:
    """Take a former member back, under the same code and role."""
    held = _locked(membership)
    held.ended_at = None
    held.save(update_fields=["ended_at"])
    return held


def _locked(membership: Membership) -> Membership:
    # The collection's row first: of two keepers who demote each other, the second must see it.
    Collection.objects.select_for_update().get(pk=membership.collection_id)
    return Membership.objects.select_related("collection", "person").get(pk=membership.pk)


def _refuse_without_keeper(membership: Membership) -> None:
    if membership.keeps and not other_keepers(membership).exists():
        raise ValidationError(
            f"{membership.name} is the last keeper; make somebody else a keeper first."
        )
