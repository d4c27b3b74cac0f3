"""What is asked about the tasks of a theft and about shops."""

from datetime import UTC, datetime, timedelta, tzinfo
from typing import Any

from django import forms
from django.utils import timezone

from collection.core.along import WITHIN_KM
from collection.core.theft_tasks import CAMERA_HOURS
from collection.custody import gazetteer
from collection.custody.filed.forms import PaperField
from collection.ledger.forms import OnceForm
from collection.papers.theft.models import Shop
from collection.papers.theft.scene import Asked


class MomentField(forms.DateTimeField):
    """A day and an hour, to come or gone, on the clock of `zone`."""

    zone: tzinfo = UTC

    def __init__(self, **kwargs: Any) -> None:
        pick = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        super().__init__(required=False, widget=pick, **kwargs)

    def to_python(self, value: Any) -> datetime | None:
        """The instant; what is typed is read on that clock."""
        with timezone.override(self.zone):
            return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        """What the picker shows."""
        with timezone.override(self.zone):
            return super().prepare_value(value)


class OnAClock(forms.Form):
    """Base of forms whose moments are read on the clock where it happened."""

    def __init__(self, *args: Any, zone: tzinfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, MomentField):
                field.zone = zone


class OpenForm(OnceForm):
    """Before the tasks are listed: what the register cannot know."""

    camera_hours = forms.IntegerField(
        min_value=1, max_value=24 * 90, initial=CAMERA_HOURS,
        label="Hours the cameras there are kept", help_text="Ask; 72 unless somebody said.",
    )  # fmt: skip
    notify_hours = forms.IntegerField(
        required=False, min_value=1, max_value=24 * 60, label="Hours the policy gives for notice",
        help_text="As the policy says; left open, somebody has to look it up.",
    )  # fmt: skip
    abroad = forms.BooleanField(required=False, label="It happened abroad: tell customs")
    carnet = forms.BooleanField(required=False, label="On a carnet: tell its issuer")
    within_km = forms.IntegerField(
        min_value=1, max_value=5000, initial=WITHIN_KM, label="Shops within, km",
        help_text="Of the place, and of each show still to come.",
    )  # fmt: skip

    def asked(self, known: Asked, found_gone: Any) -> Asked:
        """What was put in; the policy's own day where the register knows one."""
        given = self.cleaned_data
        by, because = known.notify_by, known.notify_because
        if hours := given["notify_hours"]:
            by, because = found_gone + timedelta(hours=hours), f"{hours} hours by the policy"
        said = {name: given[name] for name in ("camera_hours", "abroad", "carnet", "within_km")}
        return Asked(notify_by=by, notify_because=because, **said)


class OwnTaskForm(OnAClock, OnceForm):
    """A task no list knows."""

    what = forms.CharField(max_length=200, label="What")
    whose = forms.CharField(required=False, max_length=80, label="Who does it")
    due_at = MomentField(label="By when")


class HandForm(OnAClock):
    """Who does a task, and by when."""

    whose = forms.CharField(required=False, max_length=80, label="Who does it")
    due_at = MomentField(label="By when")


class DoneForm(forms.Form):
    """How a task was done."""

    paper = PaperField(label="The paper: receipt, mail, answer")
    because = forms.CharField(
        required=False, max_length=200, label="Why without a paper, or why it does not apply"
    )
    how = forms.ChoiceField(choices=[("done", "done"), ("not-apply", "does not apply")])

    def clean(self) -> dict[str, Any]:
        """Nothing is done without a paper or a word."""
        given = self.cleaned_data
        if not self.errors and not given.get("paper") and not given.get("because", "").strip():
            self.add_error("because", "File the paper, or say why there is none.")
        if given.get("how") == "not-apply" and not given.get("because", "").strip():
            self.add_error("because", "Say why it does not apply.")
        return given


class ShopForm(OnceForm):
    """A shop in a town that the gazetteer knows, so that its distance can be told."""

    name = forms.CharField(max_length=80, label="Name")
    kind = forms.ChoiceField(choices=Shop.Kind.choices, label="What they are")
    town = forms.CharField(max_length=120, label="Town", help_text="'Carlisle, GB' narrows.")
    phone = forms.CharField(required=False, max_length=40, label="Telephone")
    email = forms.EmailField(required=False, label="Mail")

    def clean_town(self) -> Any:
        """The town itself, the largest of that name."""
        town = gazetteer.towns(self.cleaned_data["town"]).first()
        if town is None:
            raise forms.ValidationError("The gazetteer knows no such town; try one near it.")
        return town
