"""An amount typed in whole units and cents, kept in minor units."""

from decimal import Decimal

from django import forms

from collection.core.wording import MINOR_DIGITS


class AmountField(forms.DecimalField):
    """Cleans to minor units of the form's currency; None when empty."""

    def __init__(self, *, currency: str = "", **kwargs) -> None:
        super().__init__(min_value=0, max_digits=12, **kwargs)
        self.in_currency(currency)

    def in_currency(self, currency: str) -> None:
        """Take amounts of this currency from now on."""
        self.digits = MINOR_DIGITS.get(currency, 2)
        self.widget.attrs["inputmode"] = "decimal"

    def clean(self, value: str) -> int | None:
        """The amount in minor units; a part of a cent is refused, and 1.200 that may mean 1200."""
        amount: Decimal | None = super().clean(value)
        if amount is None:
            return None
        minor = amount.scaleb(self.digits)
        if minor != minor.to_integral_value() or -amount.as_tuple().exponent > self.digits:
            raise forms.ValidationError(f"No more than {self.digits} figures after the point.")
        return int(minor)
