"""What forms say against what was typed, wherever they come from."""

import importlib
import pkgutil
import re

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile

import collection
import registry

FROM_DJANGO = re.compile(
    r"This field is required|Ensure (this|that)|Select a valid|Enter a|is not a valid|is not one of"
)


class Everything(forms.Form):
    """One field of every kind that the site's forms use."""

    text = forms.CharField(max_length=3)
    number = forms.IntegerField(min_value=2, max_value=9)
    hours = forms.DecimalField(min_value=0, max_digits=3, decimal_places=1)
    share = forms.FloatField(min_value=0)
    day = forms.DateField()
    clock = forms.TimeField()
    moment = forms.DateTimeField()
    mail = forms.EmailField()
    paper = forms.FileField()
    sure = forms.BooleanField()
    one = forms.ChoiceField(choices=[("a", "A")])
    typed = forms.TypedChoiceField(choices=[("a", "A")])
    some = forms.MultipleChoiceField(choices=[("a", "A")])


def said(**typed) -> dict[str, str]:
    form = Everything(typed, {"paper": SimpleUploadedFile("a", b"a")} if typed else None)
    return {name: " ".join(reasons) for name, reasons in form.errors.items()}


def test_an_empty_field_says_what_to_put_there():
    assert said().keys() == Everything.base_fields.keys()
    assert not [words for words in said().values() if FROM_DJANGO.search(words)]
    assert said()["text"] == "Write something here."
    assert said()["some"] == "Choose at least one of these."


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("text", "four", "Too long: 4 characters, and 3 fit in here."),
        ("number", "1", "Write 2 or more."),
        ("number", "10", "Write 9 or less."),
        ("number", "two", "Write a whole number, such as 12."),
        ("hours", "1.25", "Too many places behind the point: 1 fit in here."),
        ("hours", "1234", "Too many digits: 3 fit in here."),
        ("hours", "half", "Write a number, such as 12 or 12.5."),
        ("share", "-1", "Write 0 or more."),
        ("day", "soon", "Write a day, such as 2026-11-24."),
        ("clock", "late", "Write a time, such as 15:30."),
        ("moment", "late", "Write a day and a time, such as 2026-11-24 15:30."),
        ("mail", "ines", "Write an address for mail, such as gear@example.org."),
        ("one", "z", "This is not on the list here: choose again."),
        ("typed", "z", "This is not on the list here: choose again."),
        ("some", ["z"], "This is not on the list here: choose again."),
    ],
)
def test_a_wrong_value_says_what_to_type_instead(name, typed, words):
    assert words in said(**{name: typed})[name]


def test_no_form_of_the_site_says_it_in_the_words_of_a_framework():
    """Forms are imported first, so that those made before the words were set would be seen."""
    for root in (collection, registry):
        for found in pkgutil.walk_packages(root.__path__, f"{root.__name__}."):
            if "form" in found.name.rpartition(".")[2]:
                importlib.import_module(found.name)
    all_of = _below(forms.Form) | _below(forms.ModelForm)
    ours = [one for one in all_of if one.__module__.split(".")[0] in ("collection", "registry")]
    assert len(ours) > 60
    wrong = {
        f"{one.__name__}.{name}"
        for one in ours
        for name, field in one.base_fields.items()
        if FROM_DJANGO.search(str(field.error_messages["required"]))
    }
    assert not wrong


def _below(base: type) -> set[type]:
    return {one for sub in base.__subclasses__() for one in ({sub} | _below(sub))}
