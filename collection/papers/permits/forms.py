"""What is asked about materials, certificates and crossings."""

from datetime import date
from typing import Any

from django import forms

from collection.catalogue.models import Piece
from collection.core.border import valid_at_most_until
from collection.ledger.forms import WritingForm
from collection.papers.borders.forms import DAY, CountryField
from collection.papers.permits import actions
from collection.papers.permits.models import InstrumentCertificate, PartMaterial

APPENDICES = [("I", "I"), ("II", "II"), ("III", "III")]


def _not_to_come(form: WritingForm, name: str) -> date | None:
    day = form.cleaned_data[name]
    if day and day > form.now.astimezone(form.collection.zone_info).date():
        raise forms.ValidationError("This day has not come yet.")
    return day


class MaterialForm(WritingForm):
    """What one part is made of."""

    part = forms.CharField(max_length=60, label="Part", help_text="Fingerboard, bridge, keys.")
    trade = forms.CharField(max_length=60, required=False, label="Name in the trade")
    scientific = forms.CharField(
        max_length=80, required=False, label="Scientific name",
        help_text="Such as Dalbergia latifolia. Nobody knows: leave it empty.",
    )  # fmt: skip
    evidence = forms.CharField(
        max_length=200, required=False, label="What shows it",
        help_text="Invoice, report of an expert, catalogue of the time.",
    )  # fmt: skip
    acquired_by = forms.DateField(
        required=False, label="Acquired by, as that shows", widget=DAY,
        help_text="The day by which this material was had.",
    )  # fmt: skip
    no_nature = forms.BooleanField(required=False, label="Neither plant nor animal")
    loose = forms.BooleanField(required=False, label="A spare or blank that travels loose")

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.piece = piece

    def clean(self) -> dict[str, Any]:
        """One of the two names at least."""
        given = super().clean()
        if not self.errors and not given["trade"] and not given["scientific"]:
            self.add_error("trade", "One of the two names, even if it is only ‘dark wood’.")
        return given

    def clean_acquired_by(self) -> date | None:
        """Nothing is had in the future."""
        return _not_to_come(self, "acquired_by")

    def write(self, **how: Any) -> PartMaterial:
        """Keep it."""
        names = ("part", "trade", "scientific", "evidence", "acquired_by", "loose")
        facts = {name: self.cleaned_data[name] for name in names}
        facts["natural"] = not self.cleaned_data["no_nature"]
        return actions.add_material(piece=self.piece, by=self.member, **facts, **how)


class AbroadForm(forms.Form):
    """What a piece is meant for beyond playing."""

    for_sale = forms.BooleanField(required=False, label="For sale, or consigned")
    handed_over = forms.CharField(
        max_length=120, required=False, label="Handed over abroad, to whom"
    )


class CertificateForm(WritingForm):
    """A certificate as it lies on the table."""

    piece = forms.ModelChoiceField(None, to_field_name="code", label="Instrument")
    number = forms.CharField(max_length=40, label="Number")
    authority = forms.CharField(max_length=120, label="Issuing authority")
    state = CountryField(label="Issuing state")
    holder = forms.CharField(max_length=80, label="Holder")
    issued_on = forms.DateField(label="Issued on", widget=DAY)
    expires_on = forms.DateField(
        required=False, label="Expires on", widget=DAY,
        help_text="Left empty: three years from the issue, the longest there is.",
    )  # fmt: skip
    return_by = forms.DateField(required=False, label="Back in that state by", widget=DAY)
    sheet = forms.CharField(max_length=40, required=False, label="Number of the continuation sheet")

    def __init__(self, *args: Any, pieces: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["piece"].queryset = pieces

    def write(self, **how: Any) -> InstrumentCertificate:
        """Keep it."""
        facts = {n: self.cleaned_data[n] for n in CertificateForm.base_fields if n in FACTS}
        facts["expires_on"] = facts["expires_on"] or valid_at_most_until(
            facts["issued_on"], actions.MONTHS
        )
        return actions.add_certificate(by=self.member, **facts, **how)


FACTS = ("piece", "number", "authority", "state", "holder", "issued_on", "expires_on",
         "return_by", "sheet")  # fmt: skip


class SpeciesForm(forms.Form):
    """A part and species that a certificate names."""

    part = forms.CharField(max_length=60, label="Part")
    scientific = forms.CharField(max_length=80, label="Scientific name")
    appendix = forms.ChoiceField(choices=APPENDICES, label="Appendix", widget=forms.RadioSelect)
    acquired_on = forms.DateField(required=False, label="Date of the evidence", widget=DAY)


class StampForm(WritingForm):
    """A crossing on the continuation sheet."""

    direction = forms.ChoiceField(
        choices=[("out", "leaving"), ("in", "coming in")], label="Which way",
        widget=forms.RadioSelect,
    )  # fmt: skip
    country = CountryField(label="Country", help_text="Two letters, such as NO.")
    place = forms.CharField(max_length=80, label="Port or office")
    on = forms.DateField(label="Day", widget=DAY)
    stamped = forms.ChoiceField(
        choices=[("yes", "stamped and signed"), ("no", "not stamped")],
        label="The continuation sheet", widget=forms.RadioSelect,
    )  # fmt: skip

    def __init__(self, *args: Any, certificate: InstrumentCertificate, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.certificate = certificate

    def clean_on(self) -> date | None:
        """A crossing has happened."""
        return _not_to_come(self, "on")

    def write(self, **how: Any) -> Any:
        """Keep it."""
        given = {n: self.cleaned_data[n] for n in actions.Stamped.__dataclass_fields__}
        passed = actions.Stamped(**(given | {"stamped": given["stamped"] == "yes"}))
        return actions.cross(certificate=self.certificate, by=self.member, passed=passed, **how)


class RulesForm(forms.Form):
    """After how many months the table should be read again."""

    stale_months = forms.IntegerField(
        min_value=1, max_value=60, label="Warn when the table is older than so many months"
    )
