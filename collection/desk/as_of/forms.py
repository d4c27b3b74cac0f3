"""Which day is asked for, and whether as the book knew it on another."""

from datetime import date
from typing import Any

from django import forms

NOT_YET = "This day has not come yet."


def _day(label: str, *, required: bool, help_text: str) -> forms.DateField:
    return forms.DateField(
        label=label, required=required, help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "This is no day. Pick one, or write it as 2025-12-31."},
    )  # fmt: skip


class AsOfForm(forms.Form):
    """Two days: until when things happened, and until when they were written down."""

    at = _day(
        "As of the end of", required=True,
        help_text="By the day on which things happened, whenever they were written down.",
    )  # fmt: skip
    known = _day(
        "As the book knew it on", required=False,
        help_text="Leave out what was recorded, or put right, later. Empty: as it is known today.",
    )  # fmt: skip

    def __init__(self, *args, today: date, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        for field in self.fields.values():
            field.widget.attrs["max"] = today.isoformat()

    def clean(self) -> dict[str, Any]:
        """Days that have come."""
        given = super().clean()
        for name in ("at", "known"):
            if given.get(name) and given[name] > self.today:
                self.add_error(name, NOT_YET)
        return given
