"""What is asked about insurance: a policy's paper, its schedule, a value, a night of a truck."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from collection.catalogue.models import Piece
from collection.catalogue.money_field import AmountField
from collection.core.countries import ASSIGNED
from collection.core.insurance import BASES, TERMS
from collection.core.wording import amount
from collection.custody.choices import party_choices
from collection.custody.models import Place
from collection.custody.queries import parties
from collection.ledger.errors import PlanRefused
from collection.ledger.forms import OnceForm, WritingForm
from collection.papers.insurance import actions
from collection.papers.insurance.models import Policy, TruckNight
from registry.access.models import Collection, Membership

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MINUTE = "%Y-%m-%dT%H:%M"
AMOUNTS = ("per_vehicle", "per_place", "per_item", "excess")


class CurrencyField(forms.RegexField):
    """Three letters of ISO 4217, in capitals."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(r"^[A-Z]{3}$", help_text="Three letters, such as EUR.", **kwargs)
        self.widget.attrs |= {"size": 4, "autocapitalize": "characters"}

    def to_python(self, value: Any) -> str:
        """In capitals."""
        return super().to_python(value).upper()


class PolicyForm(OnceForm):
    """What the paper of a policy says."""

    insurer = forms.ChoiceField(label="Insurer")
    number = forms.CharField(max_length=60, required=False, label="Policy number")
    begins_on = forms.DateField(label="First day", widget=DAY)
    ends_on = forms.DateField(label="Last day", widget=DAY)
    countries = forms.CharField(
        max_length=240, required=False, label="Territory",
        help_text="Countries by their two letters: GB NO DK. Left empty: the whole world.",
    )  # fmt: skip
    currency = CurrencyField(label="Currency of all amounts")
    per_vehicle = AmountField(required=False, label="Limit in one vehicle")
    per_place = AmountField(required=False, label="Limit in one place")
    per_item = AmountField(required=False, label="Limit for one piece")
    excess = AmountField(required=False, label="Excess, each claim")
    notice_hours = forms.IntegerField(
        required=False, min_value=1, max_value=2000, label="Hours of notice",
        help_text="How soon the insurer must hear of a loss.",
    )  # fmt: skip
    terms = forms.MultipleChoiceField(
        choices=TERMS.items(), required=False, label="A vehicle left overnight must be",
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    other_terms = forms.CharField(
        max_length=400, required=False, label="Other terms that bind",
        widget=forms.Textarea(attrs={"rows": 2}),
    )  # fmt: skip

    def __init__(self, *args: Any, collection: Collection, policy: Policy | None = None, **kwargs):
        kwargs["initial"] = _known(policy) if policy else {"currency": collection.currency}
        super().__init__(*args, **kwargs)
        self.collection, self.policy = collection, policy
        self.fields["insurer"].choices = party_choices(collection, "insur", "broker")
        typed = str(self.data.get("currency") or self.initial["currency"]).upper()
        for name in AMOUNTS:
            self.fields[name].in_currency(typed)

    def clean_countries(self) -> str:
        """Codes in capitals, each once; what is no country is named."""
        codes = dict.fromkeys(self.cleaned_data["countries"].replace(",", " ").upper().split())
        wrong = [code for code in codes if code not in ASSIGNED]
        if wrong:
            hint = " Great Britain is GB." if "UK" in wrong else ""
            raise forms.ValidationError(f"{', '.join(wrong)}: no country has these letters.{hint}")
        return " ".join(codes)

    def clean(self) -> dict[str, Any]:
        """A policy ends after it begins."""
        given = super().clean()
        begins, ends = given.get("begins_on"), given.get("ends_on")
        if begins and ends and ends < begins:
            self.add_error("ends_on", "It would end before it begins.")
        return given

    def keep(self, *, by: Membership) -> Policy:
        """Take the policy, or write its paper anew."""
        given = dict(self.cleaned_data)
        once, insurer = given.pop("once"), given.pop("insurer")
        paper = given | {f"{name}_minor": given.pop(name) for name in AMOUNTS}
        paper["insurer"] = parties(self.collection).get(code=insurer)
        if self.policy is not None:
            return actions.change_policy(policy=self.policy, by=by, **paper)
        return actions.add_policy(collection=self.collection, by=by, once=once, **paper)


def _known(policy: Policy) -> dict[str, Any]:
    plain = ("number", "begins_on", "ends_on", "countries", "currency", "notice_hours", "terms",
             "other_terms")  # fmt: skip
    minor = {name: getattr(policy, f"{name}_minor") for name in AMOUNTS}
    return {
        "insurer": policy.insurer.code,
        **{name: getattr(policy, name) for name in plain},
        **{n: None if m is None else amount(m, policy.currency) for n, m in minor.items()},
    }


class ScheduleForm(forms.Form):
    """Which pieces stand under a policy from a day on."""

    on = forms.DateField(label="From which day", widget=DAY)
    codes = forms.MultipleChoiceField(
        required=False, label="Insured pieces", widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, policy: Policy, offered: list[Piece], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.policy = policy
        self.fields["codes"].choices = [(p.code, f"{p.code} {p.called}") for p in offered]

    def keep(self, *, by: Membership) -> tuple[int, int] | None:
        """Write the schedule; None with the reasons beside the pieces."""
        given = self.cleaned_data
        try:
            return actions.insure(policy=self.policy, by=by, codes=given["codes"], on=given["on"])
        except PlanRefused as refused:
            for reason in refused.reasons:
                self.add_error("codes", reason)
            return None


class ValueForm(WritingForm):
    """What a piece is worth, on which basis, who says so."""

    currency = CurrencyField(label="Currency")
    value = AmountField(label="Value")
    basis = forms.ChoiceField(
        choices=[(words, words) for words in BASES], label="Basis", widget=forms.RadioSelect
    )
    telling_fields = ("when", "how", "certainty")

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        start = {"currency": piece.value_currency or piece.collection.currency, "how": "document"}
        super().__init__(*args, initial=start, **kwargs)
        self.piece = piece
        self.order_fields(["value", "currency", "basis", "who", "words"])
        self.fields["value"].in_currency(str(self.data.get("currency", "")).upper())
        self.fields["who"].label = "Valuer"
        self.fields["who"].widget.attrs["placeholder"] = "who valued it"

    def write(self, **how: Any) -> Any:
        """Into the book and onto the page."""
        given = self.cleaned_data
        return actions.value(
            collection=self.collection, by=self.member, code=self.piece.code,
            value_minor=given["value"], currency=given["currency"], basis=given["basis"], **how,
        )  # fmt: skip


class NightForm(WritingForm):
    """Where a truck stood overnight and how it was kept."""

    truck = forms.ChoiceField(label="Truck", widget=forms.RadioSelect)
    where = forms.CharField(max_length=120, label="Where it stood")
    since = forms.DateTimeField(
        label="From", widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MINUTE)
    )
    until = forms.DateTimeField(
        required=False, label="Until", help_text="Left empty: it is still there.",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MINUTE),
    )  # fmt: skip
    with_it = forms.CharField(max_length=80, required=False, label="Who stayed with it")

    told_heading = "Seen, by whoever writes it"
    telling_fields = ("how", "who", "certainty")

    def __init__(self, *args: Any, trucks: list[Place], zone: ZoneInfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone, self.trucks = zone, {truck.code: truck for truck in trucks}
        self.fields["truck"].choices = [(t.code, t.name) for t in trucks]
        if len(trucks) == 1:
            self.fields["truck"].initial = trucks[0].code
        for key, words in TERMS.items():
            self.fields[key] = forms.ChoiceField(
                choices=[("yes", "yes"), ("no", "no"), ("", "not known")], required=False,
                label=words.capitalize(), widget=forms.RadioSelect,
            )  # fmt: skip
        self.order_fields(["truck", "where", "since", "until", *TERMS, "with_it", "words"])
        evening = self.now.astimezone(zone).replace(hour=23, minute=0) - timedelta(days=1)
        self.fields["since"].initial = evening.replace(tzinfo=None)
        # When it stood there is asked above; the entry takes its day from that.
        del self.fields["when"]

    def telling(self) -> Any:
        """As any telling; the day is the evening's."""
        self.cleaned_data["when"] = ""
        return super().telling()

    def clean_since(self) -> datetime:
        """A moment of the clock on the wall there, not one to come."""
        since = self.cleaned_data["since"].replace(tzinfo=self.zone)
        if since > self.now:
            raise forms.ValidationError("This has not come yet.")
        return since

    def clean_until(self) -> datetime | None:
        """A moment of the clock on the wall there, after it came."""
        until, since = self.cleaned_data["until"], self.cleaned_data.get("since")
        until = until and until.replace(tzinfo=self.zone)
        if until and since and until <= since:
            raise forms.ValidationError("It left before it came.")
        return until

    def write(self, **how: Any) -> TruckNight:
        """Keep the night."""
        given = self.cleaned_data
        return actions.write_night(
            collection=self.collection, by=self.member, truck=self.trucks[given["truck"]],
            said={key: given[key] for key in TERMS if given[key]},
            **{name: given[name] for name in ("where", "since", "until", "with_it")}, **how,
        )  # fmt: skip
