"""QR codes: against the figures and the worked examples of those who wrote the rules."""

import io
import re
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from collection.core.qr_code import NARROWEST_MM, QUIET_MODULES, qr_code
from tests.qr_reading import read_modules, text_of

ADDRESS = "https://gear.example.org/mirren-vale/pieces/A-007/"


def test_the_quiet_zone_is_four_modules_and_light():
    """ISO/IEC 18004; Denso Wave: 'a four-module wide margin at all sides'."""
    code = qr_code(ADDRESS)
    image = Image.open(io.BytesIO(code.png())).convert("L")
    assert QUIET_MODULES == 4
    assert image.width == 8 * code.across
    assert image.crop((0, 0, image.width, 8 * 4)).getextrema() == (255, 255)
    assert image.crop((0, 0, 8 * 4, image.height)).getextrema() == (255, 255)


def test_fifty_capitals_at_level_m_take_version_3_as_in_the_makers_example():
    """Denso Wave, 'Example of calculating QR code area': 50 alphanumerics, M: version 3, 29
    modules; with the margin 37, which at 0.254 mm is 9.398 mm."""
    code = qr_code("A" * 50)
    assert (code.version, code.modules, code.across) == (3, 29, 37)
    assert code.across * Decimal("0.254") == Decimal("9.398")


def test_29_modules_need_14_652_mm_as_in_the_published_example():
    """GS1 UK, 'How big should a QR code be': (29 + 8) x 0.396 = 14.652 mm."""
    assert Decimal("0.396") == NARROWEST_MM
    assert qr_code("A" * 50).narrowest_mm() == Decimal("14.652")


def test_the_level_is_never_lower_than_asked():
    order = "LMQH"
    for level in order:
        assert order.index(qr_code(ADDRESS, level=level).level) >= order.index(level)


@given(
    st.text(alphabet=st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=90)
)
@settings(max_examples=40)
def test_what_is_drawn_reads_back_as_the_text(text):
    """Read by a reader of its own, written from ISO/IEC 18004, which knows nothing of the maker."""
    code = qr_code(text)
    image = Image.open(io.BytesIO(code.png()))
    assert text_of(read_modules(image, code.across)) == text


def test_the_path_covers_the_dark_modules_and_no_other():
    code = qr_code(ADDRESS)
    dark = set()
    for column, row, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\3z", code.path):
        dark |= {(int(row) - 4, int(column) - 4 + k) for k in range(int(length))}
    assert dark == {
        (r, c) for r, line in enumerate(code.rows) for c, module in enumerate(line) if module
    }


def test_no_text_is_refused():
    with pytest.raises(ValueError, match="needs a text"):
        qr_code("")
