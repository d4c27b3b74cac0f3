"""Fixtures that many tests ask for; each is one call of a builder."""

import pytest
from django.db import connection
from django.test import Client
from hypothesis import settings
from pytest_django.plugin import DjangoDbBlocker

from collection.ledger import guard
from registry.access.models import Collection, Membership
from registry.access.roles import Role
from tests import builders

# A busy machine is no reason to fail; how fast things are is for tests/benchmarks.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> None:
    """Test databases are emptied again and again, so the trigger of the book is lifted."""
    with django_db_blocker.unblock():
        guard.lift(connection)


@pytest.fixture
def collection(db: None) -> Collection:
    """An empty collection in Lisbon's zone."""
    return builders.a_collection()


@pytest.fixture
def other_collection(db: None) -> Collection:
    """Another collection, whose members have no business in the first."""
    return builders.a_collection()


@pytest.fixture
def keeper(collection: Collection) -> Membership:
    return builders.a_member(collection, role=Role.KEEPER)


@pytest.fixture
def technician(collection: Collection) -> Membership:
    return builders.a_member(collection, role=Role.TECHNICIAN)


@pytest.fixture
def viewer(collection: Collection) -> Membership:
    return builders.a_member(collection, role=Role.VIEWER)


@pytest.fixture
def stranger(other_collection: Collection) -> Membership:
    """A keeper, but of another collection."""
    return builders.a_member(other_collection, role=Role.KEEPER)


@pytest.fixture
def technician_client(technician: Membership) -> Client:
    return builders.client_of(technician)


@pytest.fixture
def keeper_client(keeper: Membership) -> Client:
    return builders.client_of(keeper)


@pytest.fixture
def viewer_client(viewer: Membership) -> Client:
    return builders.client_of(viewer)
