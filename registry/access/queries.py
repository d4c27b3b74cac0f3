"""What is asked about people and their collections."""

import hashlib
import re
from datetime import datetime
from typing import Any

from django.db.models import F
from django.http import HttpRequest

from registry.access.models import Collection, Membership, MembershipQuerySet, OneTimeLink, Person
from registry.access.roles import Role

# Addresses that labels carry; only for these may a finder learn whom to ring.
LABELLED = re.compile(r"/(?P<slug>[a-z][a-z0-9-]*)/(?:pieces|places)/[A-Z0-9-]{1,40}/")


def membership_of(person: Person, slug: str) -> Membership | None:
    """The standing membership of a person in the collection at this address, or None."""
    found = Membership.objects.standing().filter(person=person, collection__slug=slug)
    return found.select_related("collection", "person").first()


def memberships_of(person: Person) -> MembershipQuerySet:
    """Every standing membership of a person, by the name of the collection."""
    found = Membership.objects.standing().filter(person=person)
    return found.select_related("collection").order_by("collection__name")


def members_of(collection: Collection) -> MembershipQuerySet:
    """Everybody who is or was a member; who has left comes last."""
    found = Membership.objects.of(collection).select_related("person")
    # Spelt out: SQLite sorts NULL first, PostgreSQL last.
    return found.order_by(F("ended_at").asc(nulls_first=True), "name")


def member_names(collection: Collection) -> dict[str, str]:
    """Member code to name, of present and former members, for pages of the book."""
    return dict(Membership.objects.of(collection).values_list("code", "name"))


def other_keepers(membership: Membership) -> MembershipQuerySet:
    """The standing keepers of the same collection but this one."""
    standing = Membership.objects.of(membership.collection).standing()
    return standing.filter(role=Role.KEEPER).exclude(pk=membership.pk)


def signs_in_elsewhere(membership: Membership) -> bool:
    """Whether the person is a member of another collection too."""
    others = Membership.objects.standing().filter(person=membership.person)
    return others.exclude(collection=membership.collection).exists()


def hash_of(token: str) -> str:
    """What is kept of a one-time token: it has 256 random bits, so no salt is needed."""
    return hashlib.sha256(token.encode()).hexdigest()


def open_link(token: str, *, now: datetime) -> OneTimeLink | None:
    """The link of this token if it can still be spent."""
    found = OneTimeLink.objects.filter(
        token_hash=hash_of(token), spent_at=None, expires_at__gt=now, person__is_active=True
    )
    return found.select_related("person").first()


def name_tried(request: HttpRequest | None, credentials: dict[str, Any] | None = None) -> str:
    """The sign-in name of an attempt, in one spelling, so that case opens no new count."""
    given = (credentials or {}).get("username")
    if given is None and request is not None:
        given = request.POST.get("username", "")
    return (given or "").strip().lower()


def collection_at(slug: str) -> Collection | None:
    """The collection at this address."""
    return Collection.objects.filter(slug=slug).first()


def collection_of_book(book: str) -> Collection | None:
    """The collection whose book has this random name."""
    return Collection.objects.filter(book=book).first()


def finder_contact_at(path: str) -> str:
    """Whom a finder rings, when an address is one that labels carry; '' when nobody is named.

    Whether there is such a piece makes no difference: the answer is the same for any code.
    """
    found = LABELLED.fullmatch(path)
    collection = collection_at(found["slug"]) if found else None
    return collection.finder_contact if collection else ""


def every_collection() -> list[Collection]:
    """All collections of the site, for commands that look after it."""
    return list(Collection.objects.order_by("slug"))


def person_named(username: str) -> Person | None:
    """Who signs in under this name."""
    return Person.objects.filter(username=username.lower()).first()


def a_keeper_can_sign_in() -> bool:
    """Whether the site has a keeper who has a password."""
    keepers = Membership.objects.standing().filter(role=Role.KEEPER).select_related("person")
    return any(keeper.person.has_usable_password() for keeper in keepers)
