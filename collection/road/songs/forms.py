"""Forms of songs and set lists."""

from typing import Any

from django import forms

from collection.road.forms import Lines
from collection.road.songs import queries
from registry.access.models import Collection

MOST_SONGS = 60


class SongForm(forms.Form):
    """A song and the instruments that belong to it."""

    title = forms.CharField(max_length=80, label="Title")
    instruments = forms.ModelMultipleChoiceField(
        queryset=None, to_field_name="code", required=False, label="Played on",
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    note = forms.CharField(required=False, max_length=120, label="Tuning, capo, what to know")

    def __init__(self, *args: Any, collection: Collection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["instruments"].queryset = queries.instruments(collection)


class SetListForm(forms.Form):
    """A set list as it is read out: one title a line."""

    titles = Lines(
        required=False, max_length=5000, label="Songs in order, one a line",
        help_text="A title not known yet becomes a song; say afterwards what it is played on.",
        widget=forms.Textarea(attrs={"rows": 18}),
    )  # fmt: skip

    def clean_titles(self) -> list[str]:
        """At most sixty songs, each title short enough to be read in the dark."""
        titles = self.cleaned_data["titles"]
        if len(titles) > MOST_SONGS:
            raise forms.ValidationError(f"{len(titles)} songs; at most {MOST_SONGS} fit.")
        long = [title for title in titles if len(title) > 80]
        if long:
            raise forms.ValidationError(f"Longer than 80 characters: {long[0][:40]}…")
        return titles
