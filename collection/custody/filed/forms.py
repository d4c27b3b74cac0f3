"""The field by which a paper is filed."""

from django import forms
from django.core.files.uploadedfile import UploadedFile

from collection.catalogue.photo.opening import MOST_BYTES, PhotoRefused
from collection.custody.filed.actions import check


class PaperField(forms.FileField):
    """A scan or photo of a paper, or a PDF; cleans to its bytes, or None."""

    default_error_messages = {"empty": "The file is empty; take the photo again."}

    def __init__(self, *, required: bool = False, label: str = "The paper", **kwargs) -> None:
        kwargs.setdefault("help_text", "A photo or scan of it, or the PDF; kept untouched.")
        super().__init__(required=required, label=label, **kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, str]:
        """Pictures and PDFs."""
        return super().widget_attrs(widget) | {"accept": "image/*,application/pdf"}

    def clean(self, data: UploadedFile | None, initial: object = None) -> bytes | None:
        """The bytes, after looking at what they hold."""
        sent = super().clean(data, initial)
        if not sent:
            return None
        content = sent.read(MOST_BYTES + 1)
        try:
            check(content)
        except PhotoRefused as refused:
            raise forms.ValidationError(str(refused)) from refused
        return content
