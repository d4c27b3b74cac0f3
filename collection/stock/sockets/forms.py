"""Forms of parts in positions: in, out, out of a donor, the sockets read again."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet

from collection.catalogue.models import Piece
from collection.ledger.forms import TellingForm
from collection.stock.grades import STANDING, goes_to
from collection.stock.models import Part, PartType
from collection.stock.sockets import reread
from collection.stock.sockets.actions import DONE, FOUND, PLAN, Goes
from collection.stock.sockets.chart import Chart
from collection.stock.sockets.reread import SocketSeen

HOW = [
    (PLAN, "about to: check first"),
    (DONE, "done already"),
    (FOUND, "found in there"),
]
OUT_HOW = [(DONE, "taken out"), (FOUND, "found missing")]
GOES = goes_to(STANDING)
ORIGINS = [(Part.Origin.BOUGHT, "bought"), (Part.Origin.CAME, "came with a piece"),
           (Part.Origin.UNKNOWN, "nobody knows")]  # fmt: skip
SAW = [
    (reread.AS_BOOK, "as in the book"),
    (reread.OTHER, "another"),
    (reread.NOT_KNOWN, "unknown tube"),
    (reread.EMPTY, "empty"),
]


def goes_of(said: str, failed: str = "") -> Goes:
    """'pulled:show' as where a part goes.

    >>> goes_of("pulled:show")
    Goes(to='pulled', grade='show', failed='')
    """
    to, _, grade = said.partition(":")
    return Goes(to, grade, failed)


def hours(label: str) -> forms.DecimalField:
    """Hours that a part brings along."""
    return forms.DecimalField(
        required=False, min_value=0, max_digits=8, decimal_places=1, label=label
    )


class PartFields(TellingForm):
    """A part that is known, or a new one of a type; one of the two is given."""

    part = forms.ModelChoiceField(queryset=None, to_field_name="code", required=False,
                                  label="A part with a code", empty_label="a new one")  # fmt: skip
    type = forms.ModelChoiceField(queryset=None, to_field_name="code", required=False,
                                  label="Or a new one, of type")  # fmt: skip
    marking = forms.CharField(required=False, max_length=80, label="Marking as seen")
    origin = forms.ChoiceField(choices=ORIGINS, required=False, label="It came")

    def __init__(self, *args, parts: QuerySet[Part], types: QuerySet[PartType], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["part"].queryset = parts
        self.fields["part"].label_from_instance = _called
        self.fields["type"].queryset = types

    def clean(self) -> dict[str, Any]:
        """Something must be named."""
        given = super().clean()
        if not given.get("part") and not given.get("type") and not self.errors:
            self.add_error("part", "Choose a part, or say of which type the new one is.")
        return given

    def new_part(self) -> dict[str, Any]:
        """What `add_part` is told of a new one."""
        given = self.cleaned_data
        told = {"type": given["type"], "marking": given["marking"]}
        return told | {"origin": given.get("origin") or Part.Origin.BOUGHT}


def _called(part: Part) -> str:
    marking = f", {part.marking}" if part.marking else ""
    return f"{part.code}, {part.type.code}{marking}"


class FitForm(PartFields):
    """A part into a position; the plan is checked, what was done or found is written."""

    position = forms.ChoiceField(label="Position")
    how_far = forms.ChoiceField(label="It is", choices=HOW, initial=PLAN, widget=forms.RadioSelect)
    ht_hours = hours("HT hours on a new one")
    heater_hours = hours("Heater hours on a new one")
    old_goes = forms.ChoiceField(label="What is in there now goes to", choices=GOES,
                                 initial="pulled:show", widget=forms.RadioSelect,
                                 required=False)  # fmt: skip
    because = forms.CharField(required=False, max_length=200, label="I know, because")

    field_order = ("position", "how_far", "part", "type", "marking", "origin", "ht_hours",
                   "heater_hours", "old_goes", "because", "words")  # fmt: skip

    def __init__(self, *args, chart: Chart, grades: Sequence[str], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.chart = chart
        self.fields["old_goes"].choices = goes_to(grades)
        names = _places(chart)
        if names:
            self.fields["position"].choices = names
        else:
            self.fields["position"] = forms.CharField(max_length=24, label="Position")
        if not any(socket.fitted for socket in chart.sockets) and not chart.elsewhere:
            del self.fields["old_goes"]

    def old(self) -> Part | None:
        """What the book has in the position chosen."""
        chosen = self.cleaned_data["position"]
        for socket in self.chart.sockets:
            if socket.fitted and chosen in (socket.position.name, socket.position.matched_with):
                return socket.fitted.part
        return next((o.part for o in self.chart.elsewhere if o.position == chosen), None)

    def new_part(self) -> dict[str, Any]:
        """A new one with the hours it brings along."""
        given = self.cleaned_data
        brought = {
            "hours_before": given["ht_hours"] or 0,
            "heater_before": given["heater_hours"] or 0,
        }
        return super().new_part() | brought

    def act(self) -> dict[str, Any]:
        """What `replace_part` is told beside the piece and the part."""
        given = self.cleaned_data
        goes = goes_of(given.get("old_goes") or "pulled:bench")
        return {"position": given["position"], "how": given["how_far"],
                "because": given["because"], "old": self.old(), "goes": goes}  # fmt: skip


def _places(chart: Chart) -> list[tuple[str, str]]:
    """Positions of a chart, and each matched set by its name."""
    found = []
    for group in chart.groups:
        if group.name and len(group.sockets) > 1:
            found.append((group.name, f"{group.name}, a matched set"))
        found += [(s.position.name, f"{s.position.name} {s.position.does}".strip())
                  for s in group.sockets]  # fmt: skip
    return found


class TakeOutForm(TellingForm):
    """A part comes out and goes somewhere."""

    goes = forms.ChoiceField(label="It goes to", widget=forms.RadioSelect)
    failed = forms.CharField(required=False, max_length=120, label="If it failed, how")
    how_far = forms.ChoiceField(label="It is", initial=DONE, widget=forms.RadioSelect,
                                choices=OUT_HOW)  # fmt: skip

    field_order = ("goes", "failed", "how_far", "words")

    def __init__(self, *args, grades: Sequence[str], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["goes"].choices = goes_to(grades)

    def act(self) -> dict[str, Any]:
        """Where it goes."""
        given = self.cleaned_data
        return {"goes": goes_of(given["goes"], given["failed"]), "how": given["how_far"]}


class StripForm(PartFields):
    """A part out of a donor, into another piece."""

    into = forms.ModelChoiceField(queryset=None, to_field_name="code", required=False,
                                  label="Into", empty_label="nothing yet: kept loose")  # fmt: skip
    position = forms.CharField(required=False, max_length=24, label="Position there",
                               help_text="As its chart names it: motor, left.")  # fmt: skip
    old = forms.ModelChoiceField(queryset=None, to_field_name="code", required=False,
                                 label="What comes out of there",
                                 empty_label="nothing with a code")  # fmt: skip
    old_goes = forms.ChoiceField(label="It goes to", choices=GOES, initial="kept-out",
                                 widget=forms.RadioSelect, required=False)  # fmt: skip

    field_order = ("part", "type", "marking", "into", "position", "old", "old_goes", "words")

    def __init__(self, *args, pieces: QuerySet[Piece], fitted: QuerySet[Part], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["origin"]
        self.fields["into"].queryset = pieces
        self.fields["old"].queryset = fitted
        self.fields["old"].label_from_instance = _called

    def new_part(self) -> dict[str, Any]:
        """A new one out of the donor."""
        return super().new_part() | {"origin": Part.Origin.DONOR}

    def act(self) -> dict[str, Any]:
        """What `strip_one` is told beside the donor."""
        given = self.cleaned_data
        goes = goes_of(given["old_goes"] or "kept-out")
        return {
            "part": given["part"],
            "new": None if given["part"] else self.new_part(),
            "to": (given["into"], given["position"], given["old"], goes),
        }


class RereadForm(TellingForm):
    """One choice a socket; what is as in the book needs no tap."""

    def __init__(self, *args, chart: Chart, types: QuerySet[PartType], parts: QuerySet[Part],
                 **kwargs) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        self.sockets = chart.sockets
        for n, socket in enumerate(self.sockets):
            name = socket.position.name
            self.fields[f"saw_{n}"] = forms.ChoiceField(
                label=name, choices=SAW, initial=reread.AS_BOOK, widget=forms.RadioSelect
            )
            self.fields[f"type_{n}"] = forms.ModelChoiceField(
                types, to_field_name="code", required=False, label=f"{name}: type"
            )
            self.fields[f"marking_{n}"] = forms.CharField(
                required=False, max_length=80, label=f"{name}: marking"
            )
            self.fields[f"part_{n}"] = forms.ModelChoiceField(
                parts, to_field_name="code", required=False, label=f"{name}: code, if it has one"
            )

    def rows(self) -> list[dict[str, Any]]:
        """Each socket with its fields, for the page."""
        names = ("saw", "type", "marking", "part")
        return [{"socket": socket} | {name: self[f"{name}_{n}"] for name in names}
                for n, socket in enumerate(self.sockets)]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Another tube has a type or a code."""
        given = super().clean()
        for n, socket in enumerate(self.sockets):
            named = given.get(f"type_{n}") or given.get(f"part_{n}")
            if given.get(f"saw_{n}") == reread.OTHER and not named:
                said = (
                    f"{socket.position.name}: which type is it? If nobody can tell, it is unknown."
                )
                self.add_error(f"type_{n}", said)
        return given

    def seen(self) -> list[SocketSeen]:
        """What was seen, socket by socket."""
        given = self.cleaned_data
        return [
            SocketSeen(
                socket.position.name, given[f"saw_{n}"], given[f"type_{n}"],
                given[f"marking_{n}"], given[f"part_{n}"],
            )
            for n, socket in enumerate(self.sockets)
        ]  # fmt: skip
