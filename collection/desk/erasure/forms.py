"""What of a person is taken out, and why."""

from typing import Any

from django import forms

from collection.desk.erasure.queries import Said
from collection.ledger.queries import sentence_of
from collection.ledger.redaction.forms import TakeOutForm


class EraseForm(TakeOutForm):
    """Entries whose words name them are ticked: whoever erases a person means those."""

    entries = forms.TypedMultipleChoiceField(
        required=False,
        coerce=int,
        label="Words that go with it",
        widget=forms.CheckboxSelectMultiple,
    )
    field_order = ["entries", "because", "sure"]

    def __init__(self, *args: Any, said: tuple[Said, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["entries"]
        field.choices = [(one.event.sequence, _line(one)) for one in said]
        field.initial = [one.event.sequence for one in said if one.named]
        if not said:
            del self.fields["entries"]


def _line(said: Said) -> str:
    event = said.event
    words = "; ".join(text for text in (event.words, event.source_note) if text)
    return f"Entry {event.sequence}, {event.subject.code}: {sentence_of(event)} ‘{words[:160]}’"
