"""What a form asks once something speaks against the type that goes in."""

from django import forms

from collection.ledger.errors import PlanRefused
from collection.ledger.forms import TellingForm
from collection.stock.sockets.check import DONE, PLAN, SayWhy

IF_DOUBTED = ("because", "already")


class CheckedForm(TellingForm):
    """A type into a position: a wrong plan comes back, a risky one asks why.

    Both fields stay away until they are needed: a change of tubes is few presses.
    """

    because = forms.CharField(required=False, max_length=200, label="I know, because")
    already = forms.BooleanField(
        required=False,
        label="It is in there already",
        help_text="Then it is written as it is, and the book asks what does not fit.",
    )
    refused_at = ""

    def refused(self, why: PlanRefused) -> None:
        """The reasons beside the field that settles them; what was typed stays."""
        for reason in why.reasons:
            self.add_error("because" if isinstance(why, SayWhy) else self.refused_at, reason)

    def if_doubted(self) -> list[forms.BoundField]:
        """The two fields, once something speaks against it or one of them is filled."""
        filled = any(self[name].data for name in IF_DOUBTED)
        spoken = any(self.errors.get(name) for name in ("because", self.refused_at))
        return [self[name] for name in IF_DOUBTED] if filled or spoken else []

    def own_fields(self) -> list[forms.BoundField]:
        """The form's own fields, and the two where they are needed."""
        own = [field for field in super().own_fields() if field.name not in IF_DOUBTED]
        words = own.pop() if own and own[-1].name == "words" else None
        return [*own, *self.if_doubted(), *([words] if words else [])]

    def checked(self) -> dict[str, str]:
        """What the action is told: a plan, or done already; and why."""
        given = self.cleaned_data
        return {"how_far": DONE if given["already"] else PLAN, "because": given["because"]}
