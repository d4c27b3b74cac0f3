"""The field by which a photo comes in with a form."""

from django import forms
from django.core.files.uploadedfile import UploadedFile

from collection.catalogue.photo.accept import accept
from collection.catalogue.photo.opening import MOST_BYTES, PhotoRefused


class PhotoField(forms.FileField):
    """A photo, from the camera where there is one; cleans to its bytes, or None.

    What is no photo is refused beside the field in one sentence. With the bytes in hand a view
    calls `catalogue.actions.add_photo`.
    """

    default_error_messages = {"empty": "The file is empty; take the photo again."}

    def __init__(self, *, required: bool = False, label: str = "With a photo", **kwargs) -> None:
        kwargs.setdefault("help_text", "JPEG, PNG, WebP or HEIC; the original is kept untouched.")
        super().__init__(required=required, label=label, **kwargs)

    def widget_attrs(self, widget: forms.Widget) -> dict[str, str]:
        """Ask a phone for its camera."""
        return super().widget_attrs(widget) | {"accept": "image/*", "capture": "environment"}

    def clean(self, data: UploadedFile | None, initial: object = None) -> bytes | None:
        """The bytes, after looking at what they hold."""
        sent = super().clean(data, initial)
        if not sent:
            return None
        # Read one byte more than is kept, so that a huge file is refused without being read whole.
        content = sent.read(MOST_BYTES + 1)
        try:
            accept(content)
        except PhotoRefused as refused:
            raise forms.ValidationError(str(refused)) from refused
        return content
