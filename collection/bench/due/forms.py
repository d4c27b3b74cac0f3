"""What is asked of a plan, and of the work when it is done."""

from typing import Any

from django import forms

from collection.bench import queries as bench
from collection.bench.caution import Caution, cautions
from collection.bench.due.models import ServicePlan
from collection.catalogue import queries as catalogue
from collection.catalogue.models import Piece, PieceKind
from collection.ledger.forms import TellingForm
from registry.access.models import Collection

FIELDS = ("what", "kind", "family", "design", "piece", "every", "measured_by", "after_what",
          "done_by", "asks", "opens", "consumes", "basis", "reason", "note")  # fmt: skip


class PlanForm(forms.ModelForm):
    """A service plan; nothing is chosen beforehand but what the visitor pressed."""

    class Meta:
        model = ServicePlan
        fields = FIELDS
        widgets = {"basis": forms.Textarea(attrs={"rows": 2})}
        help_texts = {
            "what": "The same words each time: the book finds it by them.",
            "family": "Such as: lap steel, guitar.",
            "after_what": "Only when it is measured by other work, such as: tape loop.",
            "asks": "Asked when it is done; left empty, one press is enough.",
            "reason": "So that whoever comes after you knows why.",
        }

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].choices = [("", "any kind"), *PieceKind.choices]
        self.fields["design"].queryset = catalogue.designs(collection)
        self.fields["design"].empty_label = "any design"
        self.fields["piece"].queryset = catalogue.pieces(collection)
        self.fields["piece"].to_field_name = "code"
        self.fields["piece"].empty_label = "any piece"

    def clean(self) -> dict[str, Any]:
        """After other work needs that work's name."""
        cleaned = super().clean()
        if cleaned.get("measured_by") == "after" and not cleaned.get("after_what"):
            self.add_error("after_what", "Say after which work.")
        return cleaned

    def said(self) -> dict[str, Any]:
        """What was typed, for the action."""
        return {name: self.cleaned_data[name] for name in FIELDS}


class DoneForm(TellingForm):
    """The work of a plan on a piece, with what was measured."""

    found = forms.CharField(
        max_length=160, required=False, label="What was found",
        widget=forms.Textarea(attrs={"rows": 2}),
    )  # fmt: skip
    field_order = ["found", "words"]
    caution_before = "found"

    def __init__(self, *args: Any, plan: ServicePlan, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.plan, self.piece = plan, piece
        if plan.asks:
            self.fields["found"].label = plan.asks
            self.fields["found"].required = True

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What stands before a hand goes inside."""
        kind = "repaired" if self.plan.opens else "serviced"
        return cautions(self.piece, kind, bench.state_of(self.piece))


class PressForm(forms.Form):
    """One press."""

    once = forms.CharField(required=False, max_length=64)
