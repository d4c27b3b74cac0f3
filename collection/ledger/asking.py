"""Forms that ask once about what looks wrong: use what was meant, or say that it is so."""

from decimal import Decimal
from typing import Any

from django import forms

from collection.core.odd_reading import Doubt


class AskingForm(forms.Form):
    """A form whose odd values are asked about beside their field; nothing typed is lost.

    Two buttons answer without script: `use` sends 'field=value' and puts that value in, `sure`
    sends 'field=value' and lets it stand. What was said to be so stays said while it is unchanged.
    """

    def __init__(self, data: Any = None, *args: Any, **kwargs: Any) -> None:
        if data is not None:
            data = data.copy()
            name, _, value = data.get("use", "").partition("=")
            if name and name in data:
                data[name] = value
        super().__init__(data, *args, **kwargs)
        said = data.getlist("sure") if hasattr(data, "getlist") else []
        self.said_so = [one for one in dict.fromkeys(said) if self._still(one)]
        self.doubts: dict[str, Doubt] = {}

    def _still(self, said: str) -> bool:
        name, _, value = said.partition("=")
        return self.data.get(name, "").strip() == value

    def sure_of(self, name: str) -> bool:
        """Whether somebody said that the odd value of a field is right."""
        return any(one.partition("=")[0] == name for one in self.said_so)

    def ask(self, name: str, doubt: Doubt | None) -> None:
        """Ask about a field, unless somebody has said already that it is so."""
        if doubt is None or self.sure_of(name):
            return
        meant = f" Did you mean {doubt.instead:f}?" if doubt.instead is not None else ""
        self.doubts[name] = doubt
        self.add_error(name, f"{doubt.words}.{meant}")
        self[name].doubt = doubt
        self[name].typed = self.data.get(name, "").strip()

    @property
    def only_doubts(self) -> bool:
        """Whether nothing is wrong but what is asked about."""
        return bool(self.doubts) and set(self.errors) == set(self.doubts)


class VoltsField(forms.DecimalField):
    """A measured number; a comma counts as a point, and a unit typed behind it does no harm."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("required", False)
        kwargs.setdefault("min_value", 0)
        super().__init__(max_digits=12, decimal_places=4, widget=forms.TextInput, **kwargs)
        self.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    def to_python(self, value: Any) -> Decimal | None:
        """The number without its unit."""
        if isinstance(value, str):
            value = value.strip().replace(",", ".").rstrip("VvAamMΩkK ").strip()
        return super().to_python(value)


def as_text(value: Decimal | None) -> str:
    """A number as the book writes it; '' when nobody read it."""
    return "" if value is None else f"{value.normalize():f}"
