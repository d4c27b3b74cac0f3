"""The form of everything that is recorded for one piece: a telling, a photo, the cautions."""

from typing import Any, ClassVar

from collection.bench import queries
from collection.bench.caution import Caution, cautions
from collection.bench.models import Fault
from collection.catalogue.actions import add_photo
from collection.catalogue.models import Piece
from collection.catalogue.photo_field import PhotoField
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.forms import TellingForm
from collection.ledger.models import Event


class RecordForm(TellingForm):
    """A telling about one piece, with a photo; a subclass adds its fields and its action."""

    kind: ClassVar[str]
    title: ClassVar[str]
    lead: ClassVar[str] = ""
    photo = PhotoField()

    def __init__(self, *args, piece: Piece, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.piece = piece
        self.state = queries.state_of(piece)
        own = [name for name in self.fields if name not in RecordForm.base_fields]
        self.order_fields([*own, "words", "photo"])
        self.caution_before = own[0] if own else "words"

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What stands before the field that a hand goes in for."""
        return cautions(self.piece, self.kind, self.state)

    def clean(self) -> dict[str, Any]:
        """A photo does not survive a form that comes back: say so."""
        if self.errors and self.cleaned_data.get("photo"):
            self.add_error("photo", "Choose the photo once more; the browser does not keep it.")
        return self.cleaned_data

    def saved(self) -> Event | None:
        """The entry, or None with what speaks against it beside the fields."""
        if not self.is_valid():
            return None
        try:
            event = self.write(collection=self.collection, by=self.member, telling=self.telling())
        except PlanRefused as refused:
            for reason in refused.reasons:
                self.add_error(None, reason)
            return None
        except LedgerError as error:
            self.add_error(None, str(error))
            return None
        self._keep_photo(event)
        return event

    def _keep_photo(self, event: Event) -> None:
        if data := self.cleaned_data["photo"]:
            add_photo(
                collection=self.collection,
                by=self.member,
                subject=self.piece.subject,
                data=data,
                entry=event.sequence,
            )

    def write(self, **how: Any) -> Event:
        """Call the action of this kind with `collection`, `by`, `telling`."""
        raise NotImplementedError

    def given(self, *names: str) -> dict[str, Any]:
        """Cleaned values by name, with the codes of chosen rows."""
        values = {name: self.cleaned_data[name] for name in names}
        return {name: _code(value) for name, value in values.items()}


def _code(value: Any) -> Any:
    if isinstance(value, Fault):
        return value.code
    return getattr(value, "code", "" if value is None else value)
