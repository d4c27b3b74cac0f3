"""Printed by a browser, a sheet with its photo is one A4 page to hang at the amplifier."""

import pytest

from collection.bench.sheets.actions import note_sheet
from collection.catalogue.actions import add_photo
from collection.core.sheet_layout import SETTINGS, layout
from tests.bench.builders import a_piece
from tests.catalogue.photo_samples import drawn, saved
from tests.papers.test_one_page import A4_POINTS, as_file, needs_chromium, printed

pytestmark = pytest.mark.django_db


@needs_chromium
def test_a_full_sheet_with_an_upright_photo_is_one_a4_page(
    technician, technician_client, settings, tmp_path
):
    settings.PHOTOS = tmp_path / "photos"
    amp = a_piece(technician)
    lines = [line.name for group in layout(SETTINGS, kind="amplifier", family="head")
             for line in group.lines]  # fmt: skip
    pairs = [(name, "half past 10, as taped") for name in [*lines, "echo", "cut", "presence"]]
    event = note_sheet(
        collection=amp.collection, by=technician, code=amp.code, sheet=SETTINGS, pairs=pairs
    )
    add_photo(
        collection=amp.collection, by=technician, subject=amp.subject, entry=event.sequence,
        data=saved(drawn((40, 64)), "PNG"),
    )  # fmt: skip
    address = f"/{amp.collection.slug}/bench/sheets/entry/{event.sequence}/"
    page = as_file(technician_client.get(address).content.decode(), tmp_path)
    assert page.read_text().count('src="tall.jpg"') == 1
    assert printed(page) == [A4_POINTS]
