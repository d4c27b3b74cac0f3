"""What is asked before a link is made: what it opens, for whom, for how long."""

from typing import Any

from django import forms

from collection.papers.sharing.shareable import Shareable

WHO = (
    ("insurer", "the insurer"), ("police", "the police"), ("borrower", "a borrower"),
    ("buyer", "a buyer"), ("customs", "customs"), ("other", "somebody else"),
)  # fmt: skip
DAYS = ((1, "1 day"), (7, "1 week"), (30, "30 days"), (90, "90 days"))


class ShareForm(forms.Form):
    """One link; for whom it is, is the press that makes it."""

    paper = forms.ChoiceField(label="What it opens", widget=forms.RadioSelect)
    days = forms.TypedChoiceField(
        choices=DAYS, coerce=int, initial=7, label="Opens for", widget=forms.RadioSelect
    )
    name = forms.CharField(
        required=False, max_length=60, label="Their name",
        help_text="For your list alone; they do not see it.",
    )  # fmt: skip
    values = forms.BooleanField(
        required=False, label="With what it is worth",
        help_text="Values stay out unless you tick this.",
    )  # fmt: skip
    who = forms.ChoiceField(choices=WHO, widget=forms.HiddenInput)
    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(self, *args, papers: dict[str, Shareable], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.papers = papers
        choices = [(one.name, f"{one.title}: {one.hint}") for one in papers.values()]
        self.fields["paper"].choices = choices
        self.fields["paper"].initial = choices[0][0]
        if all(one.values != "chosen" for one in papers.values()):
            del self.fields["values"]

    def clean(self) -> dict[str, Any]:
        """Values where the paper has none to show are said so, not passed over."""
        given = super().clean()
        paper = self.papers.get(given.get("paper", ""))
        if paper is not None and paper.values == "never" and given.get("values"):
            self.add_error("values", f"{paper.title} never says what a thing is worth.")
        return given

    @property
    def chosen(self) -> Shareable:
        """The paper that was chosen."""
        return self.papers[self.cleaned_data["paper"]]

    @property
    def label(self) -> str:
        """For whom, as the list has it: 'the insurer, Hale'."""
        who, name = dict(WHO)[self.cleaned_data["who"]], self.cleaned_data["name"].strip()
        return f"{who}, {name}" if name else who
