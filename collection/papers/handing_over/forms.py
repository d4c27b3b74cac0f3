"""What is asked before a piece leaves: how, to whom, with what, who agreed to be named."""

from datetime import date
from typing import Any

from django import forms

from collection.core.handing_over import back_to
from collection.papers.dossier.choice import Choice
from collection.papers.dossier.forms import ChooseForm
from collection.papers.handing_over.actions import Handing, written_before
from collection.papers.handing_over.queries import Before, takers

WAYS = [("sold", "sold"), ("back", "back to its owner")]
CONSENT = "agreed_"


class HandOverForm(ChooseForm):
    """The dossier's choice, with the way, the taker and consent, one field a person named."""

    way = forms.ChoiceField(choices=WAYS, label="It is", widget=forms.RadioSelect)
    to = forms.ModelChoiceField(
        queryset=None, to_field_name="code", label="To whom", empty_label="choose",
        help_text="Somebody new is added under People and firms first.",
    )  # fmt: skip
    on = forms.DateField(
        required=False, label="On", widget=forms.DateInput(attrs={"type": "date"}),
        help_text="Empty means today.",
    )  # fmt: skip
    permits_seen = forms.BooleanField(
        required=False, label="I have looked at the permits this needs",
        help_text="Information, not legal advice: the authority of your country decides.",
    )  # fmt: skip

    def __init__(self, *args, before: Before, today: date, **kwargs) -> None:
        super().__init__(*args, history=before.history, **kwargs)
        self.before, self.today = before, today
        self.fields["to"].queryset = takers(before)
        del self.fields["for_whom"]
        if not before.protected:
            del self.fields["permits_seen"]
        named = self.fields.pop("named", None)
        for code, words in named.choices if named else ():
            self.fields[f"{CONSENT}{code}"] = forms.CharField(
                required=False, max_length=160, label=words,
                help_text="How and when they agreed to be named; empty: by role.",
            )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Whatever speaks against it, each by its own field."""
        given = super().clean()
        again = written_before(self.history.piece, given.get("once", ""))
        for why in () if again else self.before.refused:
            self.add_error(None, why)
        if given.get("on") and given["on"] > self.today:
            self.add_error("on", "This day has not come yet.")
        back = given.get("way") == "back" and given.get("to")
        if back and (wrong := back_to(self.before.state.owner, given["to"].code)):
            self.add_error("to", wrong)
        if "permits_seen" in self.fields and not given.get("permits_seen"):
            self.add_error("permits_seen", "Something in it may need a permit: look first.")
        return given

    @property
    def consents(self) -> dict[str, str]:
        """Who agreed to be named, by code, and how."""
        said = {key: value.strip() for key, value in self.cleaned_data.items() if
                key.startswith(CONSENT)}  # fmt: skip
        return {key.removeprefix(CONSENT): value for key, value in said.items() if value}

    @property
    def consent_fields(self) -> list[forms.BoundField]:
        """The fields of consent."""
        return [self[name] for name in self.fields if name.startswith(CONSENT)]

    def handing(self) -> Handing:
        """What is done, for the action."""
        given = self.cleaned_data
        choice = Choice(
            frozenset(given["lines"]), frozenset(given["words"]), frozenset(given["photos"]),
            frozenset(self.consents), given["to"].name,
        )  # fmt: skip
        return Handing(
            given["way"], given["to"], choice, given.get("on") or self.today, self.consents,
            given["once"],
        )  # fmt: skip
