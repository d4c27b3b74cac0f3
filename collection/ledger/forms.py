"""What every recording form asks: when, how it is known, in whose words; now and me by default."""

import secrets
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import PermissionDenied

from collection.core.chronology import InTheFuture, refuse_future
from collection.core.partial_date import PartialDate, PartialDateError
from collection.core.spoken_moment import NOW, read_moment
from collection.ledger import phone
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry import clock
from registry.access.models import Collection, Membership

HOW = [
    ("seen", "seen: did it or watched it"),
    ("document", "document: bill, label, photo"),
    ("told", "told: somebody said so"),
    ("inferred", "inferred: worked out"),
]


def read_when(text: str, *, collection: Collection, now: datetime) -> str:
    """EDTF text of a date as typed; raises forms.ValidationError in the visitor's words."""
    zone = collection.zone_info
    try:
        happened = read_moment(text, now=now, zone=zone)
        refuse_future(happened, now=now, zone=zone)
    except PartialDateError as error:
        raise forms.ValidationError(f"This date cannot be read: {error.reason}.") from error
    except InTheFuture as error:
        raise forms.ValidationError(f"{text}: this has not come yet.") from error
    return happened


def reading(happened: str) -> str:
    """An accepted date echoed: the EDTF text and what it says in words."""
    return f"{happened}, {PartialDate.parse(happened).sentence()}"


class OnceForm(forms.Form):
    """Base of forms that make a row without an entry: a double tap makes one."""

    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["once"].initial = secrets.token_hex(16)


class TellingForm(forms.Form):
    """Base of all recording forms; subclasses put their own fields before these."""

    when = forms.CharField(
        required=False,
        max_length=60,
        label="When",
        help_text="As you know it: today, 15:58, 9 Jun 2019, June 2019, about 1985, 1964 to 1970.",
    )
    how = forms.ChoiceField(
        choices=HOW,
        initial="seen",
        required=False,
        label="How do you know",
        widget=forms.RadioSelect,
    )
    who = forms.CharField(required=False, max_length=80, label="Who did it or said so")
    certainty = forms.ChoiceField(
        choices=Event.Certainty.choices,
        initial="certain",
        required=False,
        label="How sure",
        widget=forms.RadioSelect,
    )
    words = forms.CharField(
        required=False,
        max_length=4000,
        label="In your words",
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    telling_fields = ("when", "how", "who", "certainty")

    def __init__(self, *args, collection: Collection, member: Membership, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.collection = collection
        self.member = member
        self.now = clock.now()
        # Sent along by what waited on a phone; no form draws it.
        self.written_at = phone.claimed(self.data.get("written_at", ""), now=self.now)
        self.fields["once"].initial = secrets.token_hex(16)
        self.fields["when"].widget.attrs["placeholder"] = "now"
        self.fields["who"].widget.attrs["placeholder"] = member.name

    def clean_when(self) -> str:
        """The date as EDTF text; nothing typed means today, or when it was written if it waited."""
        typed = self.cleaned_data["when"]
        waited = phone.late(self.written_at, now=self.now)
        if waited and typed.strip().casefold() in {"", *NOW}:
            return waited
        return read_when(typed, collection=self.collection, now=self.written_at or self.now)

    @property
    def reading(self) -> str:
        """How the typed date was read, for a form that comes back."""
        happened = getattr(self, "cleaned_data", {}).get("when", "")
        return f"Read as {reading(happened)}" if happened and self["when"].data else ""

    def telling(self) -> Telling:
        """How the entry came, for the book."""
        given = self.cleaned_data
        return Telling(
            happened=given["when"],
            source=given["how"] or "seen",
            source_note=given["who"],
            certainty=given["certainty"] or "certain",
            words=given["words"],
            written_at=self.written_at,
            once=given["once"] or None,
        )

    def own_fields(self) -> list[forms.BoundField]:
        """The visible fields that are not behind 'not me, not now'."""
        return [f for f in self.visible_fields() if f.name not in self.telling_fields]

    def told_fields(self) -> list[forms.BoundField]:
        """The fields behind 'not me, not now'."""
        return [self[name] for name in self.telling_fields if name in self.fields]

    @property
    def told_open(self) -> bool:
        """Whether that part must stand open, since something in it was typed or is wrong."""
        fields = self.told_fields()
        return self.is_bound and any(
            f.errors or f.data not in ("", "seen", "certain", None) for f in fields
        )


class WritingForm(TellingForm):
    """A telling whose refusals stand beside the fields."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        own = [name for name in self.fields if name not in TellingForm.base_fields]
        self.order_fields([*own, "words"])

    def saved(self) -> Any:
        """What was written, or None with the reasons against it."""
        if not self.is_valid():
            return None
        try:
            return self.write(telling=self.telling())
        except PlanRefused as refused:
            reasons = list(refused.reasons)
        except (LedgerError, PermissionDenied) as error:
            reasons = [str(error)]
        for reason in reasons:
            self.add_error(None, reason)
        return None

    def write(self, **how: Any) -> Any:
        """Call the action with `telling`."""
        raise NotImplementedError


class AskForm(forms.Form):
    """A Question that nobody can answer yet."""

    question = forms.CharField(max_length=400, label="What does nobody know yet")
    about = forms.CharField(
        max_length=40, required=False, label="About which code", help_text="Such as A-007."
    )
    once = forms.CharField(
        required=False, max_length=64, widget=forms.HiddenInput, initial=secrets.token_hex
    )


class AnswerForm(TellingForm):
    """The answer to a Question."""

    text = forms.CharField(
        max_length=1000, label="The answer", widget=forms.Textarea(attrs={"rows": 2})
    )
    field_order = ["text", "words"]


class WithdrawForm(forms.Form):
    """Why an entry is taken back."""

    because = forms.CharField(max_length=400, label="Why it is taken back")


class RewriteForm(forms.Form):
    """On which thing an entry is to be written anew."""

    code = forms.CharField(max_length=40, label="Code of the one it was")

    def clean_code(self) -> str:
        """Codes are written in capitals."""
        return self.cleaned_data["code"].strip().upper()
