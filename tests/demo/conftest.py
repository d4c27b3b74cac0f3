"""The demo, loaded once for all tests that only read it, and taken back afterwards."""

from collections.abc import Iterator

import pytest
from django.conf import settings
from django.db import transaction
from django.utils import timezone

from fixtures.demo import load
from fixtures.demo.book import Desk


@pytest.fixture(scope="package")
def demo(django_db_setup: None, django_db_blocker) -> Iterator[Desk]:
    """The whole story as it stands when the demo's clock begins, without photos."""
    before = settings.CLOCK_AHEAD
    settings.CLOCK_AHEAD = (load.BEGINS - timezone.now()).total_seconds()
    with django_db_blocker.unblock(), transaction.atomic():
        yield load.load(now=load.BEGINS, say=lambda line: None, with_photos=False)
        transaction.set_rollback(True)
    settings.CLOCK_AHEAD = before
