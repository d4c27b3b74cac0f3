"""A notice in the language of the place."""

import string
from dataclasses import fields
from datetime import datetime

import pytest

from collection.core.notice_phrases import PHRASES, SPOKEN, language_of

EVERY = pytest.mark.parametrize("code", sorted(PHRASES))


def braces(text):
    return [name for _, name, _, _ in string.Formatter().parse(text) if name is not None]


@EVERY
def test_every_language_says_everything(code):
    ours, english = PHRASES[code], PHRASES["en"]
    for field in fields(ours):
        said, model = getattr(ours, field.name), getattr(english, field.name)
        assert said or field.name == "checked"
        if isinstance(model, str) and field.name != "day_form":
            assert braces(said) == braces(model), field.name
    assert ours.kinds.keys() == english.kinds.keys()
    assert (len(ours.figures), len(ours.months)) == (10, 12)
    assert len(set(ours.months)) == 12


def test_only_english_is_called_checked():
    assert [code for code, one in PHRASES.items() if one.checked] == ["en"]


@pytest.mark.parametrize(
    ("country", "code"),
    [("DE", "de"), ("NL", "nl"), ("FR", "fr"), ("NO", "nb"), ("DK", "da"), ("GB", "en"),
     ("ES", "en"), ("", "en"), ("dk", "da")],
)  # fmt: skip
def test_the_country_of_the_place_chooses(country, code):
    assert language_of(country) == code
    assert set(SPOKEN.values()) <= PHRASES.keys()


def test_dates_are_written_as_they_are_there():
    # Duden (German), Språkrådet (Norwegian), Imprimerie nationale (French); from memory.
    when = datetime(2026, 3, 14, 10, 50)
    assert PHRASES["de"].moment(when) == "14. März 2026, 10:50 Uhr"
    assert PHRASES["nb"].moment(when) == "14. mars 2026 kl. 10:50"
    assert PHRASES["fr"].moment(when) == "14 mars 2026 à 10:50"


def test_a_window_may_lack_either_end():
    german = PHRASES["de"]
    assert german.window("A", "B") == "zwischen A und B"
    assert german.window("A", "") == "nach A"
    assert german.window("", "B") == "vor B"
    assert german.window("", "") == ""


def test_doubtful_characters_are_named_in_the_language():
    assert PHRASES["de"].spelt("L8-5I-04B7") == (
        "unterstrichen: Acht, Buchstabe I, Null, Buchstabe B"
    )
    assert PHRASES["nb"].spelt("4711") == "bare sifre"
    assert PHRASES["fr"].spelt("HB") == "souligné : lettre B"
    assert PHRASES["fr"].spelt("") == ""
