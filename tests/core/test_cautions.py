"""Cautions where the act happens."""

import pytest

from collection.core.cautions import ONE_PERSON_GRAMS, lifting


def test_the_limit_is_the_load_constant_of_the_lifting_equation():
    # 23 kg: Waters, Putz-Anderson, Garg, Fine, Ergonomics 36 (1993), table of LC.
    assert ONE_PERSON_GRAMS == 23_000


@pytest.mark.parametrize(("grams", "warned"), [(0, False), (22_999, False), (23_000, True)])
def test_a_load_over_one_person_is_said_before_the_lift(grams, warned):
    assert (lifting(grams) is not None) == warned


def test_a_load_of_which_not_all_is_weighed_says_at_least():
    assert lifting(40_000, weighed=False).title.startswith("At least 40 kg")
