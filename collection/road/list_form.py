"""The artist's list for a position, by picking: accepted, emergency, never."""

from collections.abc import Iterable
from typing import Any

from django import forms

from collection.catalogue.models import Piece
from collection.road.models import RigPosition

LISTS = ("accepted", "emergency", "never")


class ListForm(forms.Form):
    """One choice for every design and piece of the kind; a place orders what is accepted."""

    def __init__(
        self, *args: Any, position: RigPosition, options: list[tuple[str, str]], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.options = [(f"of{at}", word, label) for at, (word, label) in enumerate(options)]
        for name, word, label in self.options:
            now = next((one for one in LISTS if word in getattr(position, one)), "")
            place = position.accepted.index(word) + 1 if now == "accepted" else None
            self.fields[name] = forms.ChoiceField(
                required=False, label=label, initial=now,
                choices=[("", "not named"), *((one, one) for one in LISTS)],
            )  # fmt: skip
            self.fields[f"{name}_place"] = forms.IntegerField(
                required=False, min_value=1, max_value=99, initial=place, label=f"Place of {word}"
            )

    @property
    def rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """Choice and place, side by side."""
        return [(self[name], self[f"{name}_place"]) for name, _, _ in self.options]

    def lists(self) -> dict[str, list[str]]:
        """The three lists; accepted in the order of the places, the rest behind."""
        picked: dict[str, list[tuple[int, str]]] = {name: [] for name in LISTS}
        for name, word, _ in self.options:
            if chosen := self.cleaned_data[name]:
                place = self.cleaned_data[f"{name}_place"] or 100
                picked[chosen].append((place, word))
        return {name: [word for _, word in sorted(words, key=_first)] for name, words in
                picked.items()}  # fmt: skip


def _first(pair: tuple[int, str]) -> int:
    return pair[0]


def options_for(position: RigPosition, pieces: Iterable[Piece]) -> list[tuple[str, str]]:
    """What can be named for a position: designs, then pieces; what is named already stays."""
    failed = position.piece or position.backup
    kind = failed.kind if failed else None
    alike = [p for p in pieces if (kind is None or p.kind == kind) and p != position.piece]
    designs = dict.fromkeys(p.design.name for p in alike if p.design)
    found = {name: f"any {name}" for name in designs}
    found |= {p.code: f"{p.code} {p.called}" for p in alike}
    named = [word for name in LISTS for word in getattr(position, name)]
    return list(({word: word for word in named} | found).items())
