"""What is asked at each stage of a job; the shared part is ledger.forms.TellingForm."""

from typing import Any, ClassVar

from django import forms

from collection.bench.jobs import actions, queries
from collection.bench.jobs.models import Job
from collection.catalogue.actions import add_photo
from collection.catalogue.money_field import AmountField
from collection.catalogue.photo_field import PhotoField
from collection.core.cautions import REPAIR_ABROAD
from collection.core.events.back_from_repair import MISSING, RETURNED
from collection.core.repair_job import ORDERS
from collection.ledger.forms import WritingForm
from collection.ledger.models import Event

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
LINES = forms.Textarea(attrs={"rows": 3})
USUAL_ORDERS = ("no-original-replaced", "return-removed", "ring-first")


class SendForm(WritingForm):
    """A piece goes to a repairer."""

    pieces = forms.ModelMultipleChoiceField(None, to_field_name="code", label="Pieces")
    repairer = forms.ModelChoiceField(None, to_field_name="code", label="To whom")
    at = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="Where they work",
        empty_label="not written down",
    )  # fmt: skip
    complaint = forms.CharField(max_length=400, label="What is wrong with it")
    orders = forms.MultipleChoiceField(
        choices=list(ORDERS.items()), required=False, initial=USUAL_ORDERS,
        label="Standing orders", widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    order_words = forms.CharField(max_length=400, required=False, label="Further orders")
    limit = AmountField(
        required=False, label="May cost without a call",
        help_text="Left empty, a keeper approves whatever is quoted.",
    )  # fmt: skip
    due_on = forms.DateField(required=False, label="Promised back", widget=DAY)

    caution_before = "at"
    cautions = (REPAIR_ABROAD,)

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pieces"].queryset = queries.pieces(self.collection)
        self.fields["repairer"].queryset = queries.parties(self.collection)
        self.fields["at"].queryset = queries.places(self.collection)
        self.fields["limit"].in_currency(self.collection.currency)
        self.fields["limit"].label += f", {self.collection.currency}"
        if not self.member.keeps:
            del self.fields["limit"]

    def write(self, **how: Any) -> Job:
        said = self.cleaned_data
        terms = actions.Terms(
            complaint=said["complaint"],
            orders=tuple(said["orders"]),
            order_words=said["order_words"],
            limit_minor=said.get("limit"),
            due_on=said["due_on"],
        )
        return actions.send(
            collection=self.collection,
            by=self.member,
            pieces=[piece.code for piece in said["pieces"]],
            repairer=said["repairer"],
            at=said["at"],
            terms=terms,
            **how,
        )


class JobForm(WritingForm):
    """One stage of a job."""

    title: ClassVar[str]
    lead: ClassVar[str] = ""

    def __init__(self, *args, job: Job, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.job = job
        if "piece" in self.fields:
            self.fields["piece"].queryset = job.pieces.all()
            self.fields["piece"].initial = job.pieces.first()
        if "fault" in self.fields:
            self.fields["fault"].queryset = queries.faults(job)
        for field in self.fields.values():
            if isinstance(field, AmountField):
                field.in_currency(job.currency)
                field.label += f", {job.currency}"

    @property
    def to_whom(self) -> dict[str, Any]:
        """Job and writer, for every action."""
        return {"job": self.job, "by": self.member}


class PieceField(forms.ModelChoiceField):
    """Which piece of the job."""

    def __init__(self) -> None:
        super().__init__(None, to_field_name="code", label="Which piece", empty_label=None)

    def prepare_value(self, value: Any) -> Any:
        return getattr(value, "code", value)


class BookedInForm(JobForm):
    """The repairer has it on the list."""

    title, lead = "Booked in", "What the repairer calls it, so that a call finds it."
    ticket = forms.CharField(max_length=40, label="Their ticket")

    def write(self, **how: Any) -> Event:
        return actions.book_in(ticket=self.cleaned_data["ticket"], **self.to_whom, **how)


class FaultChoice(forms.ModelChoiceField):
    """For which open fault."""

    def __init__(self) -> None:
        super().__init__(
            None, to_field_name="code", required=False, label="For which fault",
            empty_label="for none in the book",
        )  # fmt: skip


class DiagnosedForm(JobForm):
    """What was found."""

    title, lead = "Diagnosed", "What they found, as they said it."
    piece = PieceField()
    finding = forms.CharField(max_length=400, label="What was found", widget=LINES)
    fault = FaultChoice()
    photo = PhotoField()

    def write(self, **how: Any) -> Event:
        said = self.cleaned_data
        event = actions.diagnose(
            piece=said["piece"], finding=said["finding"], fault=_code(said["fault"]),
            **self.to_whom, **how,
        )  # fmt: skip
        if said["photo"]:
            add_photo(
                collection=self.collection, by=self.member, subject=said["piece"].subject,
                data=said["photo"], entry=event.sequence,
            )  # fmt: skip
        return event


class QuotedForm(JobForm):
    """What it would cost."""

    title = "Quoted"
    amount = AmountField(label="Price")
    covers = forms.CharField(max_length=200, required=False, label="What it covers")

    def write(self, **how: Any) -> Event:
        said = self.cleaned_data
        return actions.quote(
            amount_minor=said["amount"], covers=said["covers"], **self.to_whom, **how
        )


class ApprovedForm(JobForm):
    """Up to how much the work may cost."""

    title = "Approved"
    up_to = AmountField(label="Up to")
    on_word_of = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="On whose word", empty_label="my own"
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on_word_of"].queryset = queries.parties(self.collection)

    @property
    def lead(self) -> str:
        """What this member may approve."""
        limit = queries.limit_of(self.job)
        if self.member.keeps:
            return f"The limit is {limit}; more raises it." if limit else "No limit is set yet."
        return f"Up to {limit}; above that a keeper." if limit else "A keeper sets a limit first."

    def write(self, **how: Any) -> Event:
        said = self.cleaned_data
        return actions.approve(
            up_to_minor=said["up_to"], on_word_of=_code(said["on_word_of"]), **self.to_whom, **how
        )


class RepairedForm(JobForm):
    """The work is done."""

    title, lead = "Work done", "A repair is no proof: it counts once somebody has played it hot."
    piece = PieceField()
    what = forms.CharField(max_length=400, label="What was done", widget=LINES)
    fault = FaultChoice()
    removed_kept = forms.CharField(
        max_length=160, required=False, label="What came out, and where it is"
    )

    def write(self, **how: Any) -> Event:
        said = self.cleaned_data
        return actions.finish(
            piece=said["piece"], what=said["what"], fault=_code(said["fault"]),
            removed_kept=said["removed_kept"], **self.to_whom, **how,
        )  # fmt: skip


class BackForm(JobForm):
    """It is back, and what was removed is counted."""

    title = "Back from repair"
    lead = "Count what came out against what came back. A part that is missing becomes a Question."
    piece = PieceField()
    at = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="Where it is now",
        empty_label="not written down",
    )  # fmt: skip
    returned = forms.CharField(
        required=False, max_length=1000, widget=LINES, label="Removed parts that came back",
        help_text="One a line.",
    )  # fmt: skip
    missing = forms.CharField(
        required=False, max_length=1000, widget=LINES, label="Removed parts that did not",
        help_text="One a line.",
    )  # fmt: skip

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["at"].queryset = queries.places(self.collection)

    def write(self, **how: Any) -> Event:
        said = self.cleaned_data
        removed = [(line, RETURNED) for line in _lines(said["returned"])]
        removed += [(line, MISSING) for line in _lines(said["missing"])]
        return actions.bring_back(
            piece=said["piece"], at=_code(said["at"]), removed=removed, **self.to_whom, **how
        )


FORMS: dict[str, type[JobForm]] = {
    "booked-in": BookedInForm,
    "diagnosed": DiagnosedForm,
    "quoted": QuotedForm,
    "approved": ApprovedForm,
    "done": RepairedForm,
    "back": BackForm,
}


def _code(row: Any) -> str:
    return row.code if row is not None else ""


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]
