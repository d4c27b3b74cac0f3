"""The Object ID sheet.

Source: ICOM archive, Object ID categories and checklist (archives.icom.museum/object-id/heritage/
object.html and check.html): eleven categories, nine of them questions to answer, photographs of the
whole and of marks and damage, keep it secure.
"""

import pytest

from collection.core.object_id import (
    ANSWERED,
    HEADINGS,
    KEEP_SECURE,
    NOT_RECORDED,
    sheet,
)

PUBLISHED = [
    "Photographs", "Type of object", "Measurements", "Materials and techniques",
    "Inscriptions and markings", "Date or period", "Maker", "Subject", "Title",
    "Distinguishing features", "Description",
]  # fmt: skip


def test_the_sheet_has_every_published_heading_in_order():
    assert [one.name for one in sheet({}, views=()).headings][:11] == PUBLISHED
    assert len(HEADINGS) == 16


def test_the_nine_questions_of_the_checklist_are_the_nine_that_are_asked():
    names = dict(HEADINGS)
    assert len(ANSWERED) == 9
    assert {names[key] for key in ANSWERED} == set(PUBLISHED) - {"Photographs", "Description"}


def test_an_empty_sheet_prints_not_recorded_under_every_heading():
    assert [one.printed for one in sheet({}, views=()).headings] == [(NOT_RECORDED,)] * 16


def test_what_is_recorded_is_printed_and_blank_lines_are_not():
    made = {one.key: one for one in sheet({"maker": ("Corrie", " ")}, views=()).headings}
    assert made["maker"].printed == ("Corrie",)
    assert not made["title"].recorded


def test_photos_are_counted_by_what_they_show():
    made = sheet({}, views=("front", "serial", "scar", "other"))
    assert made.headings[0].printed == ("1 of the whole", "2 of marks or damage", "1 others")


@pytest.mark.parametrize(
    ("views", "flags"),
    [
        ((), ["whole", "twins"]),
        (("other",), ["whole", "twins"]),
        (("front",), ["twins"]),
        (("serial",), ["whole"]),
        (("back", "scar"), []),
    ],
)
def test_fewer_than_one_photo_of_the_whole_and_one_of_a_mark_is_flagged(views, flags):
    full = dict.fromkeys(ANSWERED, ("x",))
    missing = sheet(full, views=views).missing
    assert len(missing) == len(flags)
    assert all(word in said for word, said in zip(flags, missing, strict=True))


def test_unanswered_questions_are_counted_and_named():
    full = {key: ("x",) for key in ANSWERED if key != "subject"}
    assert sheet(full, views=("front", "scar")).missing == (
        "1 of 9 answers not recorded: subject.",
    )


def test_a_heading_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="colour"):
        sheet({"colour": ("red",)}, views=())


def test_the_fourth_step_is_to_keep_it_secure():
    assert "away from the object" in KEEP_SECURE
