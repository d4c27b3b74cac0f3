"""What the list of pieces can be narrowed and sorted by."""

from datetime import date

import django_filters as filters
from django import forms
from django.db.models import F, QuerySet

from collection.catalogue.models import PieceKind
from collection.core.working import VERDICTS
from collection.desk.queries import pieces as said
from collection.desk.queries.whereabouts import Places

SORTS = {
    "code": ("code",),
    "name": ("said", "code"),
    "built": (F("built_from").asc(nulls_last=True), "code"),
    "seen": (F("subject__state__seen_at").desc(nulls_last=True), "code"),
}
FIRST = ("q", "sort")
SORT_WORDS = [
    ("code", "code"),
    ("name", "name"),
    ("built", "year, oldest first"),
    ("seen", "last seen, newest first"),
]


def _year(label: str) -> filters.NumberFilter:
    return filters.NumberFilter(
        label=label,
        min_value=1,
        max_value=9999,
        method="nothing_by_itself",
        widget=forms.NumberInput(attrs={"inputmode": "numeric", "placeholder": "year"}),
    )


class PieceFilter(filters.FilterSet):
    """A plain GET form over the pieces; every choice belongs to the member's collection."""

    q = filters.CharFilter(
        label="Code, name, nickname or serial",
        method="by_text",
        max_length=80,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )
    kind = filters.ChoiceFilter(label="Kind", choices=PieceKind.choices, empty_label="any")
    circuit = filters.ChoiceFilter(
        label="Circuit", field_name="circuit__name", empty_label="any", choices=[]
    )
    built_from = _year("Built from")
    built_to = _year("Built to")
    unknown_year = filters.ChoiceFilter(
        label="Year not known",
        choices=[("too", "show too"), ("only", "only those")],
        empty_label="leave out",
        method="nothing_by_itself",
    )
    place = filters.ChoiceFilter(label="Place", method="by_place", empty_label="any", choices=[])
    working = filters.ChoiceFilter(
        label="Working", choices=list(VERDICTS.items()), method="by_working", empty_label="any"
    )
    standing = filters.ChoiceFilter(
        label="Standing",
        method="by_standing",
        choices=list(said.STANDINGS.items()),
        empty_label="any",
    )
    tagged = filters.ChoiceFilter(
        label="Do not power",
        choices=[("out", "tag hung"), ("proposed", "tag proposed"), ("none", "no tag")],
        method="by_tag",
        empty_label="any",
    )
    sort = filters.ChoiceFilter(
        label="Sorted by", choices=SORT_WORDS, method="nothing_by_itself", empty_label=None
    )

    def __init__(self, data, queryset, *, places: Places, circuits, today: date) -> None:
        super().__init__(data, queryset=queryset)
        self.places, self.today = places, today
        self.filters["place"].extra["choices"] = places.choices()
        self.filters["circuit"].extra["choices"] = [(name, name) for name in circuits]

    def filter_queryset(self, queryset: QuerySet) -> QuerySet:
        """The fields one by one, then the years together, then the order."""
        found = self._by_years(super().filter_queryset(queryset))
        return found.order_by(*SORTS[self.form.cleaned_data.get("sort") or "code"])

    def by_text(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """Every word of the text, folded as the search column is."""
        return queryset.filter(said.matching(value))

    def by_place(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """A place and everything in it."""
        return queryset.filter(subject__state__place__in=self.places.inside(value))

    def by_working(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """What the evidence amounts to today."""
        return queryset.filter(said.amounting_to(value, today=self.today))

    def by_standing(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """With us, with somebody else, or gone."""
        return queryset.filter(said.standing_as(value))

    def by_tag(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """Hung, proposed, or none."""
        return queryset.filter(said.TAGGED[value])

    def nothing_by_itself(self, queryset: QuerySet, name: str, value: object) -> QuerySet:
        """A field that only means something together with others."""
        return queryset

    def _by_years(self, queryset: QuerySet) -> QuerySet:
        given = self.form.cleaned_data
        first, last = (int(given[n]) if given.get(n) else None for n in ("built_from", "built_to"))
        unknown = given.get("unknown_year")
        if unknown == "only":
            return queryset.filter(said.YEAR_UNKNOWN)
        if first is None and last is None:
            return queryset
        window = said.built_within(first, last)
        return queryset.filter(window | said.YEAR_UNKNOWN if unknown else window)

    def first_fields(self) -> list[forms.BoundField]:
        """What is used most and always in sight."""
        return [self.form[name] for name in FIRST]

    def more_fields(self) -> list[forms.BoundField]:
        """The rest, folded away on a phone."""
        return [field for field in self.form if field.name not in FIRST]

    def more_used(self) -> bool:
        """Whether the rest must stand open, since it narrows the list."""
        return any(field.value() or field.errors for field in self.more_fields())

    def in_words(self) -> list[str]:
        """What narrows the list, field by field, as its form says it."""
        if not self.form.is_valid():
            return []
        return [
            f"{field.label}: {_label(field)}"
            for field in self.form
            if field.name != "sort" and field.value() not in (None, "")
        ]


def _label(field: forms.BoundField) -> str:
    choices = dict(getattr(field.field, "choices", []))
    return str(choices.get(field.value(), field.value()))
