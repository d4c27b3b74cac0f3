"""The form of a call to somebody who holds something."""

from typing import Any

from django import forms

from collection.road.backup_forms import DAY, MOMENT, MOMENTS
from collection.road.models import RoadQuote, Show


class CallForm(forms.Form):
    """It is still there, from a day; and perhaps when it can be at a show."""

    confirmed_on = forms.DateField(label="It is there and works, confirmed on", widget=DAY)
    price = forms.CharField(required=False, max_length=60, label="What it costs")
    show = forms.ChoiceField(required=False, label="For which show")
    leaves_at = forms.DateTimeField(
        required=False, label="Leaves", widget=MOMENT, input_formats=MOMENTS
    )
    arrives_at = forms.DateTimeField(
        required=False, label="Arrives", widget=MOMENT, input_formats=MOMENTS,
        help_text="Both times on the clock of the venue.",
    )  # fmt: skip
    basis = forms.ChoiceField(
        label="How firm", choices=RoadQuote.Basis.choices, initial="quoted",
        widget=forms.RadioSelect,
    )  # fmt: skip
    told_by = forms.CharField(required=False, max_length=80, label="Who said so")
    authorised_by = forms.CharField(required=False, max_length=80, label="Who authorised it")

    def __init__(self, *args: Any, shows: list[Show], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shows = {show.code: show for show in shows}
        named = [(show.code, f"{show.number}, {show.on:%d %b}, {show.venue}") for show in shows]
        self.fields["show"].choices = [("", "no show yet"), *named]

    def clean(self) -> dict[str, Any]:
        """Times belong to a show, come in pairs, and arriving comes after leaving."""
        given = super().clean()
        show = given["show"] = self.shows.get(given.get("show"))
        times = [given.get("leaves_at"), given.get("arrives_at")]
        if any(times) and not (all(times) and show):
            self.add_error("arrives_at", "Give the show and both times, or none of them.")
        elif all(times):
            leaves, arrives = (at.replace(tzinfo=show.zone) for at in times)
            given |= {"leaves_at": leaves, "arrives_at": arrives}
            if arrives <= leaves:
                self.add_error("arrives_at", "It would arrive before it leaves.")
        return given
