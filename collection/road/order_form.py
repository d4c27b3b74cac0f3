"""What is asked when somebody has rung: the order, who said yes, and when it is here."""

from datetime import datetime
from typing import Any

from django import forms

from collection.core.transit import ESTIMATE
from collection.custody.freight.models import Shipment
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event
from collection.road.actions.orders import Ordered, order_backup
from collection.road.answer import Answer
from collection.road.backup_forms import DAY, MOMENT, MOMENTS
from collection.road.candidates import Known

COMES = ("town", "away")


class OrderForm(WritingForm):
    """Settling on a backup; what has to travel is on the way once an hour is given."""

    order = forms.CharField(max_length=300, label="What was ordered")
    authorised_by = forms.CharField(max_length=80, label="Who authorised it")
    expected_at = forms.DateTimeField(
        required=False, label="Expected here", widget=MOMENT, input_formats=MOMENTS
    )
    carrier_words = forms.CharField(
        required=False, max_length=80, label="Who brings it", help_text="A taxi, their van."
    )
    phone = forms.CharField(required=False, max_length=40, label="Telephone on the way")
    until = forms.DateField(required=False, label="Hired until", widget=DAY)

    def __init__(self, *args: Any, answer: Answer, known: Known, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.answer, self.chosen = answer, known
        self.shipment: Shipment | None = None
        candidate = known.candidate
        self.fields["order"].initial = answer.order_words(candidate.code)
        if candidate.stands not in COMES or candidate.on_the_way is not None:
            for name in ("expected_at", "carrier_words", "phone", "until"):
                del self.fields[name]
            return
        where = answer.asked.need.at.name
        self.fields[
            "expected_at"
        ].help_text = (
            f"On the clock of {where}; it is on the way at once. Empty: only the order is kept."
        )
        self.fields["expected_at"].initial = _promised(answer, candidate.code)
        if "piece" in known.as_quoted:
            del self.fields["until"]

    def clean_expected_at(self) -> datetime | None:
        """The hour on the clock of the place, still to come."""
        typed = self.cleaned_data["expected_at"]
        if typed is None:
            return None
        expected = typed.replace(tzinfo=self.answer.asked.zone)
        if expected <= self.now:
            raise forms.ValidationError("This has passed already on the clock there.")
        return expected

    def write(self, **how: Any) -> Event:
        """Write the order, and whatever it sets on its way."""
        said = self.cleaned_data
        names = ("authorised_by", "expected_at", "carrier_words", "phone", "until")
        given = {name: said[name] for name in names if name in said}
        event, self.shipment = order_backup(
            by=self.member, asked=self.answer.asked, known=self.chosen,
            ordered=Ordered(words=said["order"], **given), **how,
        )  # fmt: skip
        return event


def _promised(answer: Answer, code: str) -> str:
    """When it arrives, as somebody has quoted or confirmed it; '' where nobody has rung."""
    line = next((one for one in answer.options if one.code == code), None)
    if line is None or line.estimate:
        return ""
    comes = next((leg for leg in line.legs if leg.what == "warm-up"), None)
    known = comes is not None and ESTIMATE not in comes.note and line.known.quotes
    return f"{comes.starts_at:%Y-%m-%dT%H:%M}" if known else ""
