"""The form for a photo alone."""

from django import forms

from collection.catalogue.models import Photo
from collection.catalogue.photo_field import PhotoField


class PhotoForm(forms.Form):
    """A photo of a thing: what it shows, and whether that is held back from notices."""

    photo = PhotoField(required=True, label="Photo")
    view = forms.ChoiceField(choices=Photo.View.choices, label="It shows", initial="front")
    caption = forms.CharField(required=False, max_length=120)
    shows_mark = forms.BooleanField(
        required=False, label="It shows the hidden mark: keep it from viewers and notices"
    )
