"""What is asked about places, people and firms, and where a thing was put or seen."""

import zoneinfo
from typing import Any

from django import forms

from collection.core.events.moved import FREIGHT
from collection.custody import actions, gazetteer
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.ledger.forms import OnceForm, TellingForm
from collection.ledger.models import Event

MANNERS = [("carried", "carried or rolled"), *FREIGHT.items()]
NONE_OF_THESE = "none"


class PutForm(TellingForm):
    """Where something is now: a place is a press, everything else is by the way."""

    to = forms.CharField(max_length=40, error_messages={"required": "Press a place."})
    verb = "It is here"

    def __init__(self, *args: Any, known: Whereabouts, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = known

    def clean_to(self) -> str:
        """A place of the collection that this member may know."""
        place = self.known.by_code.get(self.cleaned_data["to"])
        if place is None or self.known.hidden(place.pk):
            raise forms.ValidationError("This is not a place of the collection.")
        return place.code

    def own_fields(self) -> list[forms.BoundField]:
        """The fields before 'not me, not now'; the places are presses of their own."""
        return [field for field in super().own_fields() if field.name != "to"]

    def act(self, code: str) -> Event:
        """Write it into the book."""
        raise NotImplementedError


class MoveForm(PutForm):
    """It was put somewhere else."""

    verb = "Move"
    manner = forms.ChoiceField(
        choices=MANNERS, initial="carried", required=False, widget=forms.RadioSelect, label="How"
    )
    holder = forms.ChoiceField(required=False, label="Now with")

    def __init__(self, *args: Any, people: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["holder"].choices = [("", "nobody in particular"), *people]

    def act(self, code: str) -> Event:
        """Write the move."""
        given = self.cleaned_data
        return actions.move(
            collection=self.collection,
            by=self.member,
            code=code,
            to=given["to"],
            manner=given["manner"] or "carried",
            holder=given["holder"],
            telling=self.telling(),
        )


class SightForm(PutForm):
    """Somebody saw it."""

    def act(self, code: str) -> Event:
        """Write the sighting."""
        return actions.sight(
            collection=self.collection,
            by=self.member,
            code=code,
            at=self.cleaned_data["to"],
            telling=self.telling(),
        )


class NotFoundForm(PutForm):
    """Somebody looked and it was not there."""

    verb = "Not found"
    search_how = forms.CharField(
        required=False, max_length=80, label="How was it looked for",
        help_text="A look, a count, every case opened.",
    )  # fmt: skip

    def act(self, code: str) -> Event:
        """Write that it was not found."""
        return actions.not_found(
            collection=self.collection,
            by=self.member,
            code=code,
            looked_at=self.cleaned_data["to"],
            how=self.cleaned_data["search_how"],
            telling=self.telling(),
        )


class PlaceForm(OnceForm):
    """A place of the tree; the town is looked up in the gazetteer."""

    name = forms.CharField(max_length=80, label="Name")
    kind = forms.ChoiceField(
        choices=[one for one in Place.Kind.choices if one[0] != Place.Kind.ON_THE_WAY],
        label="What it is",
    )
    code = forms.RegexField(
        r"^[A-Z][A-Z0-9]{0,7}(-[A-Z0-9]{1,16}){0,3}\Z",
        required=False,
        label="Code",
        help_text="CASE-07, TRUCK-A; left empty, the register gives one. It never changes.",
        error_messages={"invalid": "A code looks like CASE-07: capitals, digits, hyphens."},
    )
    inside = forms.ChoiceField(required=False, label="Inside")
    town = forms.CharField(required=False, max_length=120, label="Town")
    pick = forms.CharField(required=False, max_length=12)
    country = forms.RegexField(
        r"^[A-Za-z]{2}\Z", required=False, label="Country, two letters",
        error_messages={"invalid": "Two letters, such as GB."},
    )  # fmt: skip
    latitude = forms.FloatField(required=False, min_value=-90, max_value=90, label="Latitude")
    longitude = forms.FloatField(required=False, min_value=-180, max_value=180, label="Longitude")
    zone = forms.CharField(required=False, max_length=64, label="Time zone")
    hours = forms.CharField(required=False, max_length=80, label="When somebody is there")
    opens_minutes = forms.IntegerField(
        required=False, min_value=0, max_value=2880, label="Minutes until it can leave"
    )
    private = forms.BooleanField(
        required=False,
        label="Private: viewers see 'a private place' and no town",
    )

    by_hand = ("country", "latitude", "longitude", "zone")

    def __init__(
        self, *args: Any, known: Whereabouts, place: Place | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.known, self.place = known, place
        if place:
            del self.fields["code"]
        if place and place.moves:
            del self.fields["inside"]
        else:
            others = [p for p in known.in_order if place is None or p.pk != place.pk]
            named = [(p.code, f"{p.code} {known.words(p.pk)}") for p in others]
            self.fields["inside"].choices = [("", "nothing: it stands by itself"), *named]

    def shown_fields(self) -> list[forms.BoundField]:
        """What is always asked, but the town and what stands by hand."""
        apart = {"town", "pick", *self.by_hand}
        return [field for field in self.visible_fields() if field.name not in apart]

    def hand_fields(self) -> list[forms.BoundField]:
        """What the gazetteer brings along, to be put right by hand."""
        return [self[name] for name in self.by_hand]

    def towns(self) -> list[Any]:
        """Towns that what was typed may mean."""
        return list(gazetteer.towns(self["town"].value() or ""))

    def clean_zone(self) -> str:
        """A zone of the zone database."""
        zone = self.cleaned_data["zone"]
        if zone and zone not in zoneinfo.available_timezones():
            raise forms.ValidationError(f"'{zone}' is not a time zone such as Europe/Berlin.")
        return zone

    def clean(self) -> dict[str, Any]:
        """Which town is meant, and coordinates in pairs."""
        given = self.cleaned_data
        if (given.get("latitude") is None) != (given.get("longitude") is None):
            self.add_error("latitude", "Latitude and longitude go together.")
        typed = given.get("town", "")
        unchanged = self.place is not None and typed == self.place.town
        if typed and not given.get("pick") and not unchanged and self.towns():
            self.add_error("town", "Which of these? Choose one, or 'none of these'.")
        return given

    def known_of(self) -> dict[str, Any]:
        """What the actions take: the town of the gazetteer, and what was put right by hand."""
        given = self.cleaned_data
        town = gazetteer.town(given["pick"]) if given["pick"] != NONE_OF_THESE else None
        by_hand = {n: given[n] for n in self.by_hand if given[n] not in ("", None)}
        if "country" in by_hand:
            by_hand["country"] = by_hand["country"].upper()
        plain = {n: given[n] for n in ("name", "kind", "private", "hours")}
        if given["opens_minutes"] is not None:
            plain["opens_minutes"] = given["opens_minutes"]
        if "inside" in self.fields:
            plain["inside"] = self.known.by_code.get(given["inside"])
        return {**plain, "town": town or given["town"], **({} if town else by_hand)}

    def keep(self, by: Any) -> Place:
        """Add the place, or change it."""
        if self.place:
            return actions.change_place(place=self.place, by=by, **self.known_of())
        own = {name: self.cleaned_data[name] for name in ("code", "once")}
        return actions.add_place(collection=by.collection, by=by, **own, **self.known_of())


class PartyForm(OnceForm):
    """A person or firm."""

    name = forms.CharField(max_length=80, label="Name")
    does = forms.CharField(
        required=False, max_length=60, label="What they are here",
        help_text="Owner, deputy, repairer, borrower, hire house, carrier, insurer, police.",
    )  # fmt: skip
    outward = forms.CharField(
        required=False, max_length=60, label="Role named to outsiders",
        help_text="Papers that leave say this, never the name.",
    )  # fmt: skip
    phone = forms.CharField(required=False, max_length=40, label="Telephone")
    email = forms.EmailField(required=False, label="Mail")
    note = forms.CharField(required=False, max_length=200, label="Note")
