"""Parts in a piece: pulled, died, and the change of a set in one act."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from collection.ledger.forms import TellingForm
from collection.stock.fitting import NewSet
from collection.stock.forms.checked import CheckedForm
from collection.stock.grades import kept_for

DEAD = ("dead", "dead: failed")


def hours_field() -> forms.DecimalField:
    """HT hours on a part; left empty, the register's own count stands."""
    return forms.DecimalField(
        min_value=0, max_digits=8, decimal_places=1, required=False, label="HT hours on it",
        error_messages={"min_value": "Hours run from 0 up; left empty, the log's count stands."},
    )  # fmt: skip


class PullForm(TellingForm):
    """A part comes out while still good."""

    hours = hours_field()
    grade = forms.ChoiceField(
        label="Kept for",
        widget=forms.RadioSelect,
        error_messages={"required": "Say what it is still good for."},
    )

    def __init__(self, *args, grades: Sequence[str], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["grade"].choices = kept_for(grades)

    def act(self) -> dict[str, Any]:
        """Hours and grade."""
        return {name: self.cleaned_data[name] for name in ("hours", "grade")}


class DieForm(TellingForm):
    """A part failed where it was fitted."""

    hours = hours_field()
    failed_how = forms.CharField(required=False, max_length=120, label="How it failed")

    def act(self) -> dict[str, Any]:
        """Hours and how."""
        return {"hours": self.cleaned_data["hours"], "how": self.cleaned_data["failed_how"]}


class ChangeForm(CheckedForm):
    """Old set out, new set in; the silent defaults make it few presses.

    `grades`: what the old one may be kept for; none when nothing is in there.
    """

    became = forms.ChoiceField(label="Kept for", initial="show", widget=forms.RadioSelect)
    hours = hours_field()
    failed_how = forms.CharField(required=False, max_length=120, label="If it failed, how")
    new = forms.ChoiceField(label="Issued from", widget=forms.RadioSelect)

    old_fields = ("became", "hours", "failed_how")
    refused_at = "new"

    def __init__(
        self, *args, sets: Sequence[NewSet], hours: float | None, grades: Sequence[str], **kwargs
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["became"].choices = [*kept_for(grades), DEAD]
        self.sets = {one.key: one for one in sets}
        self.fields["new"].choices = [(one.key, one.words) for one in sets]
        self.fields["new"].initial = next(iter(self.sets), None)
        self.fields["hours"].initial = None if hours is None else Decimal(str(round(hours, 1)))
        if not grades:
            for name in self.old_fields:
                del self.fields[name]

    def old(self) -> list[forms.BoundField]:
        """What is asked of the old set."""
        return [self[name] for name in self.old_fields if name in self.fields]

    def act(self) -> dict[str, Any]:
        """What the action takes beside the piece, the position and the old set."""
        given, new = self.cleaned_data, self.sets[self.cleaned_data["new"]]
        # the log's own count is never written down: a corrected show must carry it along
        read = given.get("hours") if "hours" in self.changed_data else None
        took = {"became": given.get("became") or "show", "hours": read,
                "how": given.get("failed_how", "")}  # fmt: skip
        return took | {"lot": new.lot, "units": new.units, "grade": new.bucket,
                       "part_code": new.part, **self.checked()}  # fmt: skip
