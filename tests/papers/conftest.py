"""Fixtures of the papers."""

import pytest

from tests.custody.story import Story, a_story


@pytest.fixture
def story(collection, technician) -> Story:
    return a_story(collection, technician)
