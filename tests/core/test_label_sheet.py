"""Labels lie inside the paper, beside each other, and begin where the used sheet ends."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.label_sheet import PAPERS, LabelSheet


def test_paper_sizes_are_the_published_ones():
    """ISO 216:2007, A series; 8.5 by 11 inches at 25.4 mm."""
    assert PAPERS["a4"] == (210, 297)
    assert PAPERS["a5"] == (148, 210)
    assert PAPERS["a6"] == (105, 148)
    inch = Decimal("25.4")
    assert PAPERS["us-letter"] == (Decimal("8.5") * inch, 11 * inch)


def test_three_by_eight_on_a4_by_hand():
    sheet = LabelSheet()
    assert (sheet.width_mm, sheet.height_mm) == (70, Decimal("37.125"))
    first, second, *_, ninth = sheet.spots(9)
    assert (first.x_mm, first.y_mm) == (0, 0)
    assert (second.x_mm, second.y_mm) == (70, 0)
    assert (ninth.x_mm, ninth.y_mm) == (140, Decimal("74.25"))


def test_a_used_sheet_goes_on_at_its_first_free_label():
    sheet = LabelSheet(columns=2, rows=2)
    spots = sheet.spots(3, start=4)
    assert [spot.sheet for spot in spots] == [0, 1, 1]
    assert (spots[0].x_mm, spots[0].y_mm) == (105, Decimal("148.5"))
    with pytest.raises(ValueError, match="labels 1 to 4"):
        sheet.spots(1, start=5)


lengths = st.integers(0, 12).map(Decimal)


@given(st.sampled_from(sorted(PAPERS)), st.integers(1, 4), st.integers(1, 8), lengths, lengths,
       st.integers(1, 40))  # fmt: skip
@settings(max_examples=60)
def test_no_label_leaves_the_paper_or_touches_another(paper, columns, rows, margin, gap, count):
    try:
        sheet = LabelSheet(paper, columns, rows, margin, margin, gap, gap)
    except ValueError:
        return
    boxes = [(s.sheet, s.x_mm, s.y_mm) for s in sheet.spots(count)]
    width, height = PAPERS[paper]
    tiny = Decimal("0.000001")
    for _, x, y in boxes:
        assert x >= margin
        assert y >= margin
        assert x + sheet.width_mm <= width - margin + tiny
        assert y + sheet.height_mm <= height - margin + tiny
    for n, (page, x, y) in enumerate(boxes):
        for other, x2, y2 in boxes[n + 1 :]:
            apart_x = abs(x - x2) + tiny >= sheet.width_mm + gap
            apart_y = abs(y - y2) + tiny >= sheet.height_mm + gap
            assert page != other or apart_x or apart_y


@pytest.mark.parametrize(
    ("given", "said"),
    [({"rows": 0}, "at least one"), ({"rows": 16}, "mm each way"),
     ({"margin_x_mm": Decimal(90)}, "mm each way"), ({"columns": 9, "rows": 9}, "cannot be read")],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_in_words(given, said):
    with pytest.raises(ValueError, match=said):
        LabelSheet(**given)
