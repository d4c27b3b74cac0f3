"""Every address of the site, asked by everybody who might ask."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from http import HTTPStatus

import pytest
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver
from django.urls.resolvers import RoutePattern

from registry.access.models import RESERVED_SLUGS, Membership
from registry.access.roles import Role
from tests import samples
from tests.builders import a_collection, a_member, client_of

PARAMETER = re.compile(r"<(?:\w+:)?(\w+)>")
ADMITTED = {HTTPStatus.OK, HTTPStatus.NO_CONTENT, HTTPStatus.FOUND, HTTPStatus.SEE_OTHER}
UNDERSTOOD = ADMITTED | {HTTPStatus.BAD_REQUEST, HTTPStatus.UNPROCESSABLE_ENTITY}


@dataclass(frozen=True)
class Address:
    """One URL pattern: its full name and its route with parameters in angle brackets."""

    name: str
    route: str

    @property
    def parameters(self) -> list[str]:
        return [name for name in PARAMETER.findall(self.route) if name != "collection"]

    @property
    def within(self) -> bool:
        return "collection" in PARAMETER.findall(self.route)

    def filled(self, slug: str, values: dict[str, str]) -> str:
        """The address with this collection and these values, found by name or parameter."""
        given = {name: _of(self, name, values) for name in self.parameters}
        given["collection"] = slug
        return "/" + PARAMETER.sub(lambda match: given[match[1]], self.route)


def _of(address: Address, parameter: str, values: dict[str, str]) -> str:
    special = f"{address.name} {parameter}"
    return values[special if special in values else parameter]


def _walk(resolver: URLResolver, before: str = "", space: str = "") -> Iterator[Address]:
    for entry in resolver.url_patterns:
        assert isinstance(entry.pattern, RoutePattern), f"{entry.pattern} is no plain route"
        route = before + str(entry.pattern)
        if isinstance(entry, URLPattern):
            yield Address(space + (entry.name or f"unnamed {route}"), route)
        else:
            inner = f"{space}{entry.namespace}:" if entry.namespace else space
            yield from _walk(entry, route, inner)


ADDRESSES = sorted(_walk(get_resolver()), key=lambda address: address.route)
WITHIN = [address for address in ADDRESSES if address.within]


@dataclass(frozen=True)
class Site:
    """A collection with its keeper and a sample of everything an address can name."""

    keeper: Membership
    values: dict[str, str]

    @property
    def slug(self) -> str:
        return self.keeper.collection.slug


def _a_site(mark: str) -> Site:
    keeper = a_member(a_collection(slug=f"gear-{mark}"), role=Role.KEEPER)
    table = samples.OWN | samples.SHARED
    return Site(keeper, {name: sample(keeper, mark) for name, sample in table.items()})


@pytest.fixture
def ours(db: None) -> Site:
    return _a_site("one")


@pytest.fixture
def theirs(db: None) -> Site:
    return _a_site("two")


def _ask(client: Client, path: str, *, method: str = "get"):
    """Ask, and undo what the asking did, so that no answer hangs on the one before."""
    with transaction.atomic():
        answer = getattr(client, method)(path)
        if hasattr(answer, "streaming_content"):
            b"".join(answer.streaming_content)
        transaction.set_rollback(True)
    return answer


def _ask_in_its_method(client: Client, path: str):
    answer = _ask(client, path)
    if answer.status_code == HTTPStatus.METHOD_NOT_ALLOWED:
        return _ask(client, path, method="post"), UNDERSTOOD
    return answer, ADMITTED


def test_every_parameter_has_a_sample():
    known = samples.OWN | samples.SHARED
    missing = [
        f"{address.name}: {parameter}"
        for address in ADDRESSES
        for parameter in address.parameters
        if parameter not in known and f"{address.name} {parameter}" not in known
    ]
    assert not missing, "add these parameters to tests/samples.py"


def test_every_address_has_a_name_of_its_own():
    names = [(address.name, sorted(address.parameters)) for address in ADDRESSES]
    assert not [name for name, _ in names if name.startswith("unnamed") or ":unnamed" in name]
    assert not [name for name in names if names.count(name) > 1]


def test_no_collection_can_take_the_address_of_a_page():
    first = {address.route.split("/")[0] for address in ADDRESSES if not address.within}
    assert first - {""} <= RESERVED_SLUGS | {name for name in first if "." in name}


def test_samples_differ_between_collections(ours, theirs):
    alike = [name for name in samples.OWN if ours.values[name] == theirs.values[name]]
    assert not alike, "these samples prove nothing: both collections have them"


def test_a_member_reaches_every_page(ours):
    client = client_of(ours.keeper)
    refused = []
    for address in WITHIN:
        path = address.filled(ours.slug, ours.values)
        answer, accepted = _ask_in_its_method(client, path)
        if answer.status_code not in accepted:
            refused.append((address.name, path, answer.status_code))
    assert not refused


def test_a_stranger_finds_nothing(ours, theirs):
    client = client_of(theirs.keeper)
    reached = []
    for address in WITHIN:
        path = address.filled(ours.slug, ours.values)
        for method in ("get", "post"):
            status = _ask(client, path, method=method).status_code
            if status != HTTPStatus.NOT_FOUND:
                reached.append((address.name, method, status))
    assert not reached


def test_a_name_of_another_collection_is_not_found(ours, theirs):
    client = client_of(ours.keeper)
    reached = []
    for address in WITHIN:
        for parameter in address.parameters:
            special = f"{address.name} {parameter}"
            key = special if special in ours.values else parameter
            if key in samples.OWN:
                path = address.filled(ours.slug, ours.values | {key: theirs.values[key]})
                answer, _ = _ask_in_its_method(client, path)
                if answer.status_code != HTTPStatus.NOT_FOUND:
                    reached.append((address.name, parameter, path, answer.status_code))
    assert not reached


def test_signed_out_every_page_asks_to_sign_in(ours):
    reached = []
    for address in WITHIN:
        path = address.filled(ours.slug, ours.values)
        for method in ("get", "post"):
            answer = _ask(Client(), path, method=method)
            if not answer.headers.get("Location", "").startswith("/sign-in/?next="):
                reached.append((address.name, method, answer.status_code))
    assert not reached


def test_outside_collections_lies_what_is_listed_and_nothing_else(ours):
    found = {
        address.name: _ask(Client(), address.filled("", ours.values)).status_code
        for address in ADDRESSES
        if not address.within
    }
    assert found == samples.OUTSIDE
