"""The arrival check in the order in which it is done: warm, case, contents, then power."""

from typing import Any

from django import forms

from collection.bench.arrivals.actions import Found, check_in
from collection.catalogue.actions import add_photo
from collection.catalogue.models import Piece
from collection.catalogue.photo_field import PhotoField
from collection.core import cautions
from collection.core.freight import INDICATORS
from collection.custody.choices import place_choices
from collection.custody.freight.actions import Looked
from collection.custody.freight.models import Shipment
from collection.custody.freight.queries import in_cases, names_of, still_in
from collection.custody.whereabouts import whereabouts
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event

LINES = forms.Textarea(attrs={"rows": 2})
WARM = [
    ("warm", "it was not cold, or has warmed in its closed case"),
    ("cold", "it is still cold: opened nothing, powered nothing"),
]
POWER = [("", "not yet"), ("works", "powered slowly, works"), ("does-not", "powered, does not")]


class ArrivalForm(WritingForm):
    """What came and how it looked; per piece what was found."""

    warm = forms.ChoiceField(choices=WARM, label="Is it cold", widget=forms.RadioSelect)
    waited_minutes = forms.IntegerField(
        required=False, min_value=1, max_value=2880, label="Minutes it warmed in its closed case",
        help_text="How long is enough differs: minutes to a night. Cold metal stays wet longest.",
    )  # fmt: skip
    outside = forms.CharField(
        max_length=200, required=False, label="Damage outside", help_text="Empty: none."
    )
    outside_photo = PhotoField(label="Photo of the outside")
    indicator = forms.ChoiceField(
        choices=list(INDICATORS.items()), initial="none", required=False,
        label="Shock or tilt indicator", widget=forms.RadioSelect,
    )  # fmt: skip
    at = forms.ChoiceField(label="Where it stands now")
    came = forms.MultipleChoiceField(
        required=False, label="What came", widget=forms.CheckboxSelectMultiple,
        help_text="Whatever stays open has not come; it stays on the way and becomes a Question.",
    )  # fmt: skip
    others = forms.CharField(
        required=False, max_length=400, widget=LINES, label="What came and was not sent",
        help_text="The wrong thing, one too many; one a line.",
    )  # fmt: skip
    cautions = (cautions.COLD,)
    caution_before = "warm"

    def __init__(self, *args: Any, shipment: Shipment, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shipment, self.known = shipment, whereabouts(self.member)
        self._offer_things()
        self.fields["at"].choices = place_choices(self.collection, self.known)
        self.fields["at"].initial = shipment.to.code
        self._ask_of_pieces()
        own = [name for name in self.fields if name not in WritingForm.base_fields]
        self.order_fields([*own, "words"])

    def _offer_things(self) -> None:
        # Somebody may have checked part of it since the page was opened: what was seen is taken.
        waiting = still_in(self.shipment)
        offered = self.shipment.things if self.is_bound else waiting or self.shipment.things
        named = names_of(self.collection, offered)
        self.fields["came"].choices = [(c, f"{c} {named.get(c, '')}") for c in offered]
        self.fields["came"].initial = list(waiting or offered)

    def _ask_of_pieces(self) -> None:
        """Of every piece that may have come: a photo, what is wrong, whether it was powered."""
        codes = [code for code, _ in self.fields["came"].choices]
        inside = in_cases(self.collection, codes)
        rows = Piece.objects.of(self.collection).select_related("subject", "design")
        self.pieces = list(rows.filter(code__in=[*codes, *inside]).order_by("code"))
        for piece in self.pieces:
            told = f"{piece.code} {piece.called}"
            self.fields[f"wrong-{piece.pk}"] = forms.CharField(
                required=False, max_length=200, label=f"{told}: what is wrong with it"
            )
            self.fields[f"photo-{piece.pk}"] = PhotoField(label=f"{told}: photo", help_text="")
            self.fields[f"tag-{piece.pk}"] = forms.CharField(
                required=False, max_length=120, label=f"{told}: DO NOT POWER, because",
                help_text="Wet, dropped, smells, rattles.",
            )  # fmt: skip
            self.fields[f"power-{piece.pk}"] = forms.ChoiceField(
                choices=POWER, required=False, label=f"{told}: powered"
            )

    def clean(self) -> dict[str, Any]:
        """Nothing cold is powered; what is tagged is not powered either."""
        given = super().clean()
        for piece in self.pieces:
            power = given.get(f"power-{piece.pk}")
            if power and given.get("warm") == "cold":
                self.add_error(f"power-{piece.pk}", "It is still cold: leave it unpowered.")
            if power == "works" and given.get(f"tag-{piece.pk}"):
                self.add_error(f"power-{piece.pk}", "It cannot carry DO NOT POWER and be powered.")
        return given

    def write(self, **how: Any) -> Event:
        """Write the arrival and what was found, then keep the photos."""
        said = self.cleaned_data
        looked = Looked(
            came=tuple(said["came"]),
            others=tuple(line.strip() for line in said["others"].splitlines() if line.strip()),
            waited_minutes=said["waited_minutes"],
            outside=said["outside"],
            indicator=said["indicator"],
            **how,
        )
        at = self.known.by_code[said["at"]]
        shipment, found = self.shipment, [self._found(piece) for piece in self._came()]
        event = check_in(shipment=shipment, by=self.member, at=at, looked=looked, found=found)
        self._keep_photos(event)
        return event

    def _came(self) -> list[Piece]:
        """Pieces that came, by themselves or in a case that came."""
        came = self.cleaned_data["came"]
        inside = set(in_cases(self.collection, came))
        return [piece for piece in self.pieces if piece.code in came or piece.code in inside]

    def _found(self, piece: Piece) -> Found:
        said = self.cleaned_data
        return Found(
            piece, said[f"wrong-{piece.pk}"], said[f"tag-{piece.pk}"], said[f"power-{piece.pk}"]
        )

    def _keep_photos(self, event: Event) -> None:
        taken = [(piece.subject, self.cleaned_data[f"photo-{piece.pk}"]) for piece in self._came()]
        taken.append((self.shipment.subject, self.cleaned_data["outside_photo"]))
        for subject, data in taken:
            if data:
                add_photo(
                    collection=self.collection, by=self.member, subject=subject, data=data,
                    entry=event.sequence,
                )  # fmt: skip
