"""What is asked about a theft, and what goes on its sheets."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django import forms

from collection.catalogue.models import Photo, Piece
from collection.core.notice import Secrets, leak
from collection.core.spoken_moment import NOW
from collection.custody import actions
from collection.custody.choices import near_first
from collection.custody.models import Incident
from collection.custody.whereabouts import Whereabouts
from collection.ledger.forms import TellingForm, read_when


class TheftForm(TellingForm):
    """What is gone, from where and between when; the rest can follow."""

    pieces = forms.MultipleChoiceField(
        required=False, label="Pieces that are gone", widget=forms.CheckboxSelectMultiple
    )
    everything_in = forms.ChoiceField(required=False, label="And everything in")
    place = forms.ChoiceField(required=False, label="Where")
    place_words = forms.CharField(
        required=False, max_length=160, label="Where, in words", help_text="Locked dressing room."
    )
    last_seen = forms.CharField(
        required=False, max_length=60, label="Last seen", help_text="10:50, or yesterday."
    )
    found_gone = forms.CharField(
        required=False, max_length=60, label="Seen gone", help_text="12:15; left empty: now."
    )
    entry_words = forms.CharField(required=False, max_length=200, label="How they got in")
    keys_words = forms.CharField(required=False, max_length=200, label="Who had keys")

    later = ("entry_words", "keys_words", "words")

    def __init__(
        self, *args: Any, offered: Sequence[Piece], known: Whereabouts, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.offered, self.known = list(offered), known
        named = near_first(self.collection, known, now=self.now)
        self.fields["pieces"].choices = [(p.code, str(p)) for p in self.offered]
        self.fields["everything_in"].choices = [("", "nothing more"), *named]
        self.fields["place"].choices = [("", "none of the places"), *named]
        self.fields["words"].label = "What happened"

    def first_fields(self) -> list[forms.BoundField]:
        """What the notice needs."""
        apart = {"pieces", "everything_in", *self.later}
        return [field for field in self.own_fields() if field.name not in apart]

    def later_fields(self) -> list[forms.BoundField]:
        """What only the officer needs."""
        return [self[name] for name in self.later]

    def clean_last_seen(self) -> str:
        """The moment as EDTF text."""
        return self._moment("last_seen")

    def clean_found_gone(self) -> str:
        """The moment as EDTF text."""
        return self._moment("found_gone")

    def _moment(self, name: str) -> str:
        said = self.cleaned_data[name]
        if said.strip().casefold() in NOW:  # a day would not tell the officer the hour
            at = self.now.astimezone(self.collection.zone_info)
            return at.replace(second=0, microsecond=0).isoformat()
        return read_when(said, collection=self.collection, now=self.now) if said else ""

    def clean(self) -> dict[str, Any]:
        """At least one piece is gone, and it was seen before it was missed."""
        given = self.cleaned_data
        if not given.get("pieces") and not given.get("everything_in"):
            self.add_error("pieces", "Say what is gone: one piece at least.")
        return given

    def report(self, everything: Sequence[str]) -> Incident:
        """Open the incident; `everything` are the codes in the place named."""
        given, telling = self.cleaned_data, self.telling()
        if not self.data.get("when") and given["found_gone"]:
            telling = replace(telling, happened=given["found_gone"])
        place = self.known.by_code.get(given["place"])
        said = ("place_words", "last_seen", "found_gone", "entry_words", "keys_words")
        return actions.report_theft(
            collection=self.collection,
            by=self.member,
            pieces=[*given["pieces"], *everything],
            place=place,
            how=given["words"],
            telling=telling,
            **{name: given[name] for name in said},
        )


class ReportForm(forms.Form):
    """What the police said."""

    police_station = forms.CharField(
        required=False, max_length=120, label="Police station", help_text="Where it was reported."
    )
    police_reference = forms.CharField(
        required=False, max_length=60, label="Police reference",
        help_text="Until it is there the notice says: reported, reference pending.",
    )  # fmt: skip

    def changes(self, incident: Incident) -> dict[str, Any]:
        """The fields, and how far the report is."""
        given = dict(self.cleaned_data)
        if given["police_reference"]:
            given["report"] = Incident.Report.REPORTED
        elif given["police_station"] or incident.report != Incident.Report.NOT_YET:
            given["report"] = Incident.Report.PENDING
        return given


class SheetsForm(forms.Form):
    """What goes on the notice: contact, one photo a piece, marks held back."""

    contact_words = forms.CharField(
        max_length=120, label="Whom to ring: a role, never a name", initial="the gear desk"
    )
    contact_reach = forms.CharField(
        required=False, max_length=120, label="Telephone or mail on the notice"
    )

    def __init__(
        self,
        *args: Any,
        pieces: Sequence[Piece],
        photos: Sequence[Photo],
        secrets: Secrets,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.pieces, self.secrets = list(pieces), secrets
        for piece in self.pieces:
            own = [p for p in photos if p.subject_id == piece.pk and not p.shows_mark]
            self.fields[f"photo_{piece.pk}"] = forms.ChoiceField(
                required=False,
                label=f"Photo of {piece.code}",
                choices=[("", "no photo"), *((str(p.pk), _called(p)) for p in own)],
                help_text="" if own else "No photo that may be shown is in the register yet.",
            )
            if piece.marks:
                self.fields[f"held_{piece.pk}"] = forms.MultipleChoiceField(
                    label=f"Marks of {piece.code} held back",
                    choices=[(mark, mark) for mark in map(str, piece.marks)],
                    widget=forms.CheckboxSelectMultiple,
                    error_messages={"required": "Hold one mark back: it proves the piece later."},
                )

    def clean_contact_words(self) -> str:
        """A role: a name would go to strangers."""
        said = self.cleaned_data["contact_words"]
        if leak(said, self.secrets):
            raise forms.ValidationError("This names a person or a private place; say the role.")
        return said

    def changes(self) -> dict[str, Any]:
        """The incident's fields."""
        given = self.cleaned_data
        photos = {p.code: given[f"photo_{p.pk}"] for p in self.pieces}
        held = {p.code: given[f"held_{p.pk}"] for p in self.pieces if p.marks}
        return {
            "contact_words": given["contact_words"],
            "contact_reach": given["contact_reach"],
            "photos": {code: int(pk) for code, pk in photos.items() if pk},
            "held_back": held,
        }


def _called(photo: Photo) -> str:
    return f"{photo.get_view_display()}{f', {photo.caption}' if photo.caption else ''}"
