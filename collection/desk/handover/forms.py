"""What is asked when somebody takes over, and of a key."""

from typing import Any

from django import forms

from collection.core.secret_words import WHY, looks_secret
from collection.custody.models import Party
from collection.custody.queries import parties
from collection.desk.handover import actions
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event
from registry.access.models import Collection

NOT_LISTED = "Not on the list? Add them under People and firms first."


class HandOverForm(WritingForm):
    """Who hands over to whom, why, until when."""

    outgoing = forms.ModelChoiceField(
        None, to_field_name="code", label="Who hands over", empty_label="choose",
        error_messages={"required": "Choose who hands over."},
    )  # fmt: skip
    incoming = forms.ModelChoiceField(
        None, to_field_name="code", label="Who takes over", empty_label="choose",
        help_text=NOT_LISTED, error_messages={"required": "Choose who takes over."},
    )  # fmt: skip
    because = forms.CharField(max_length=160, required=False, label="Why")
    until = forms.DateField(
        required=False, label="Until when", help_text="Left empty: for good.",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = parties(self.collection)
        for name in ("outgoing", "incoming"):
            self.fields[name].queryset = rows
        me = rows.filter(name=self.member.name).first()
        self.fields["outgoing"].initial = me.code if me else None

    def clean(self) -> dict[str, Any]:
        """Two people."""
        given = super().clean()
        if given.get("outgoing") and given.get("outgoing") == given.get("incoming"):
            self.add_error("incoming", "Nobody hands over to themselves.")
        return given

    def write(self, **how: Any) -> Event:
        """Write it."""
        names = ("outgoing", "incoming", "because")
        said = {name: self.cleaned_data[name] for name in names}
        until = self.cleaned_data["until"]
        return actions.hand_over(
            by=self.member, **said, until=until.isoformat() if until else "", **how
        )


class NamesForm(forms.Form):
    """Whose names are printed where the sheet is signed."""

    outgoing = forms.ModelChoiceField(None, to_field_name="code", required=False)
    incoming = forms.ModelChoiceField(None, to_field_name="code", required=False)

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("outgoing", "incoming"):
            self.fields[name].queryset = parties(collection)

    def names(self) -> tuple[Party | None, ...]:
        """Both, None where none was chosen."""
        self.is_valid()
        return tuple(self.cleaned_data.get(name) for name in ("outgoing", "incoming"))


class KeyForm(forms.Form):
    """A key: what it opens, who has it; a code is refused."""

    opens = forms.CharField(
        max_length=120, label="What it opens",
        error_messages={"required": "Say what it opens."},
    )  # fmt: skip
    held_by = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="Who has it", empty_label="nobody"
    )
    where = forms.CharField(max_length=120, required=False, label="Or where it hangs")

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["held_by"].queryset = parties(collection)

    def clean_opens(self) -> str:
        """Never a code."""
        return _no_code(self.cleaned_data["opens"])

    def clean_where(self) -> str:
        """Never a code."""
        return _no_code(self.cleaned_data["where"])


def _no_code(text: str) -> str:
    if looks_secret(text):
        raise forms.ValidationError(WHY)
    return text
