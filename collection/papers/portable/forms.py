"""What is asked before a collection is carried out."""

from typing import Any

from django import forms


class CarryOutForm(forms.Form):
    """Mail addresses only when chosen; photos that are gone only knowingly."""

    with_addresses = forms.BooleanField(required=False, label="With members’ mail addresses")
    without_lost = forms.BooleanField(
        label="Without the photos that are gone or have changed",
        help_text="Better restore them from a backup first.",
    )

    def __init__(self, *args: Any, lost: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not lost:
            del self.fields["without_lost"]
