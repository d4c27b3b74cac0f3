"""Amounts as people type them.

Source of the figures after the point: ISO 4217, minor units (EUR 2, JPY 0), from memory.
"""

import pytest
from django.core.exceptions import ValidationError

from collection.catalogue.money_field import AmountField


@pytest.mark.parametrize(
    ("typed", "currency", "minor"),
    [("1200.50", "EUR", 120050), ("7", "JPY", 7), ("0.5", "EUR", 50)],
)
def test_an_amount_is_kept_in_minor_units(typed, currency, minor):
    assert AmountField(currency=currency).clean(typed) == minor


@pytest.mark.parametrize(("typed", "currency"), [("1.200", "EUR"), ("1.20", "JPY")])
def test_thousands_with_a_point_are_asked_about_instead_of_shrinking(typed, currency):
    with pytest.raises(ValidationError, match="figures after the point"):
        AmountField(currency=currency).clean(typed)
