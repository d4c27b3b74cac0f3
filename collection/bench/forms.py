"""What is recorded at the bench, one form a kind; the shared part is ledger.forms.TellingForm."""

from typing import Any

from django import forms

from collection.bench import actions, queries
from collection.bench.record_form import RecordForm
from collection.bench.safety.forms import SafetyTestedForm
from collection.core.events.fault_settled import OUTCOMES
from collection.core.events.modified import WAY_BACK
from collection.core.events.tagged_out import TaggedOut
from collection.core.state import LEVELS
from collection.ledger.actions import note
from collection.ledger.models import Event

CARE = [("strings", "Strings"), ("cleaned", "Cleaned"), ("set up", "Set up"),
        ("demagnetised", "Heads demagnetised"), ("lubricated", "Lubricated"),
        ("other", "Other care, say what")]  # fmt: skip


def _said(choices: Any) -> list[tuple[str, str]]:
    return [(key, words[0].upper() + words[1:]) for key, words in choices]


class NotedForm(RecordForm):
    """One line that somebody wants kept."""

    kind, title = "noted", "Note"
    odd = forms.BooleanField(
        required=False, label="Odd but normal",
        help_text="Stands on the handover: whoever comes next should not mend it.",
    )  # fmt: skip

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"] = forms.CharField(
            max_length=4000,
            label=f"Note on {self.piece.code}",
            widget=forms.TextInput(attrs={"placeholder": "What, where, how it sounds"}),
        )
        self.order_fields(["words", "odd", "photo"])

    def write(self, **how: Any) -> Event:
        return note(subject=self.piece.code, odd=self.cleaned_data["odd"], **how)


class FaultedForm(RecordForm):
    """It misbehaves, or a known fault is back."""

    kind, title = "faulted", "It misbehaves"
    lead = "What it does, not what you think it is."
    symptom = forms.CharField(
        max_length=160, required=False, label="What it does",
        help_text="Left empty only where a known fault is back.",
    )  # fmt: skip
    fault = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="A known fault is back",
        empty_label="no, this is new",
    )  # fmt: skip
    when_hot = forms.ChoiceField(
        choices=[("", "Not known"), ("cold", "Cold"), ("hot", "Hot")],
        required=False,
        label="Cold or hot",
        widget=forms.RadioSelect,
    )
    after_minutes = forms.IntegerField(
        required=False, min_value=0, max_value=1440, label="After how many minutes"
    )
    intermittent = forms.BooleanField(required=False, label="It comes and goes")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["fault"].queryset = queries.faults_of(self.piece)

    def clean(self) -> dict[str, Any]:
        """A new fault needs its symptom; one that is back has it already."""
        cleaned = super().clean()
        if not cleaned.get("fault") and not cleaned.get("symptom"):
            self.add_error("symptom", "Say what it does, or choose the fault that is back.")
        return cleaned

    def write(self, **how: Any) -> Event:
        known = self.cleaned_data
        fields = ("symptom", "fault", "when_hot", "after_minutes", "intermittent")
        said = {name: known[name] for name in fields}
        fault = actions.fault(code=self.piece.code, **said, **how)
        return queries.newest_entry(fault.subject)


class FaultSettledForm(RecordForm):
    """How a fault ended."""

    kind, title = "fault_settled", "Settle a fault"
    lead = "Fixed proves nothing by itself: shows without it do."
    fault = forms.ModelChoiceField(
        None, to_field_name="code", label="Which fault", empty_label=None
    )
    outcome = forms.ChoiceField(
        choices=_said(OUTCOMES.items()), label="It", widget=forms.RadioSelect
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["fault"].queryset = queries.faults_of(self.piece)

    def write(self, **how: Any) -> Event:
        known = self.cleaned_data
        return actions.settle_fault(fault=known["fault"], outcome=known["outcome"], **how)


class RepairedForm(RecordForm):
    """Something was mended."""

    kind, title = "repaired", "Repaired"
    lead = "A repair is no proof: it counts as working once somebody has played it hot."
    what = forms.CharField(max_length=400, label="What was done")
    by_whom = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="By whom", empty_label="me, or not listed"
    )
    fault = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="For which fault",
        empty_label="for none of its faults",
    )  # fmt: skip
    removed_kept = forms.CharField(
        max_length=160, required=False, label="Where is the part that came out"
    )

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["by_whom"].queryset = queries.parties(self.collection)
        self.fields["fault"].queryset = queries.open_faults_of(self.piece)

    def write(self, **how: Any) -> Event:
        said = self.given("what", "by_whom", "fault", "removed_kept")
        return actions.repair(code=self.piece.code, **said, **how)


class ModifiedForm(RecordForm):
    """It was made different from what it was."""

    kind, title = "modified", "Modified"
    lead = "Keep what came out, and say where it is."
    what = forms.CharField(max_length=400, label="What was changed")
    before = forms.CharField(max_length=160, required=False, label="How it was before")
    afterwards = forms.CharField(max_length=160, required=False, label="How it is now")
    reversible = forms.ChoiceField(
        choices=_said(WAY_BACK.items()),
        initial="unknown",
        label="The way back",
        widget=forms.RadioSelect,
    )
    removed_part = forms.CharField(
        max_length=160, required=False, label="Where is the part that came out"
    )

    def write(self, **how: Any) -> Event:
        said = self.given("what", "before", "afterwards", "reversible", "removed_part")
        return actions.modify(code=self.piece.code, **said, **how)


class InspectedForm(RecordForm):
    """Somebody tried whether it works."""

    kind, title = "inspected", "Checked"
    lead = "Played hot means twenty minutes at level or more; less counts as powered."
    level = forms.ChoiceField(
        choices=_said((level, level.replace("-", " ")) for level in LEVELS),
        label="How far",
        widget=forms.RadioSelect,
    )
    result = forms.ChoiceField(
        choices=[("works", "It works"), ("does-not", "It does not")],
        initial="works",
        label="What came of it",
        widget=forms.RadioSelect,
    )
    minutes = forms.IntegerField(
        required=False, min_value=0, max_value=1440, label="For how many minutes"
    )
    mains_volts = forms.DecimalField(
        required=False, min_value=0, max_value=480, decimal_places=1, label="Mains, V"
    )

    def write(self, **how: Any) -> Event:
        said = self.given("level", "result", "minutes", "mains_volts")
        said["minutes"] = self.cleaned_data["minutes"]
        said["mains_volts"] = str(said["mains_volts"])
        return actions.inspect(code=self.piece.code, **said, **how)


class TaggedOutForm(RecordForm):
    """DO NOT POWER hangs on it."""

    kind, title = "tagged_out", "Tag out"
    lead = "For smoke, shock, liquid, a drop, a blown fuse. Hang a tag on the handle and the plug."
    reason = forms.CharField(max_length=200, label="Why it must not be powered")
    check = forms.CharField(
        max_length=200, initial=TaggedOut.check, label="Which check takes the tag off"
    )

    def write(self, **how: Any) -> Event:
        return actions.tag_out(code=self.piece.code, **self.given("reason", "check"), **how)


class TagLiftedForm(RecordForm):
    """DO NOT POWER comes off after the named check."""

    kind, title = "tag_lifted", "Take the tag off"
    check = forms.CharField(max_length=200, label="Which check was done")
    result = forms.ChoiceField(
        choices=[("passed", "Passed"), ("failed", "Failed: the tag stays")],
        label="Its result",
        widget=forms.RadioSelect,
    )
    by_whom = forms.ModelChoiceField(
        None, to_field_name="code", required=False, label="Who did the check",
        empty_label="me, or not listed",
    )  # fmt: skip

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.caution_before = "result"
        self.fields["by_whom"].queryset = queries.parties(self.collection)

    @property
    def lead(self) -> str:
        """What the tag itself asks for."""
        tag = self.state.tag
        if tag is None:
            return "No DO NOT POWER hangs on it."
        return f"It hangs for: {tag.reason}. It asks for: {tag.check}."

    def write(self, **how: Any) -> Event:
        said = self.given("check", "result", "by_whom")
        return actions.lift_tag(code=self.piece.code, **said, **how)


class ServicedForm(RecordForm):
    """Regular care that changes nothing about the piece."""

    kind, title = "serviced", "Serviced"
    what = forms.ChoiceField(choices=CARE, label="What was done", widget=forms.RadioSelect)
    detail = forms.CharField(
        max_length=160, required=False, label="Detail", help_text="Gauges, what was cleaned."
    )

    def clean(self) -> dict[str, Any]:
        """Other care says what it was."""
        cleaned = super().clean()
        if cleaned.get("what") == "other" and not cleaned.get("detail"):
            self.add_error("detail", "Say what was done.")
        return cleaned

    def write(self, **how: Any) -> Event:
        return actions.serve(code=self.piece.code, **self.given("what", "detail"), **how)


FORMS: dict[str, type[RecordForm]] = {
    form.kind: form
    for form in (
        NotedForm, FaultedForm, FaultSettledForm, RepairedForm, ModifiedForm, InspectedForm,
        SafetyTestedForm, TaggedOutForm, TagLiftedForm, ServicedForm,
    )
}  # fmt: skip
