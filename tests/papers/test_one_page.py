"""Printed by a browser, a notice of one to three pieces is one A4 page."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from collection.catalogue.actions import add_photo
from tests.builders import client_of
from tests.catalogue.photo_samples import drawn, saved

STYLES = Path(__file__).resolve().parents[2] / "collection/static"
CHROMIUM = shutil.which("chromium")
A4_POINTS = (595, 842)  # ISO 216: 210 mm by 297 mm, at 72 points an inch
QUIET = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
         "--disable-component-update", "--no-first-run", "--no-pdf-header-footer")  # fmt: skip


def as_file(page: str, folder: Path) -> Path:
    """The page with its stylesheets and photos taken from files, as a browser would fetch them."""
    Image.new("RGB", (960, 1280), (90, 60, 40)).save(folder / "tall.jpg")  # the worst: upright
    page = re.sub(r'href="/static/([^"?]+\.css)[^"]*"', rf'href="file://{STYLES}/\1"', page)
    page = re.sub(r'src="[^"]*/photos/\d+/page/"', 'src="tall.jpg"', page)
    page = re.sub(r"<script[^>]*></script>", "", page)
    path = folder / "notice.html"
    path.write_text(page, encoding="utf-8")
    return path


def printed(page: Path) -> list[tuple[int, int]]:
    """Width and height in points of every page of the PDF that chromium prints."""
    out, profile = page.with_suffix(".pdf"), page.with_name("profile")
    subprocess.run(
        [CHROMIUM, *QUIET, f"--user-data-dir={profile}", f"--print-to-pdf={out}", page.as_uri()],
        check=True, capture_output=True, timeout=60,
    )  # fmt: skip
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", out.read_bytes())
    return [(round(float(wide)), round(float(high))) for wide, high in boxes]


needs_chromium = pytest.mark.skipif(
    CHROMIUM is None, reason="chromium is not installed; .ci/run installs it"
)


@needs_chromium
def test_two_pages_are_counted_as_two(tmp_path):
    page = tmp_path / "two.html"
    page.write_text("<style>@page { size: A4 } p + p { break-before: page }</style><p>1<p>2")
    assert printed(page) == [A4_POINTS, A4_POINTS]


@needs_chromium
@pytest.mark.parametrize("codes", [("G-003",), ("G-003", "E-004"), ("G-003", "E-004", "A-007")])
def test_a_notice_is_one_a4_page(story, settings, tmp_path, codes):
    settings.PHOTOS = tmp_path / "photos"
    for code in codes:
        add_photo(
            collection=story.collection, by=story.by, subject=story.pieces[code].subject,
            data=saved(drawn((40, 64)), "PNG"),
        )  # fmt: skip
    incident = story.stolen(
        *codes, contact_reach="+44 1632 960142, day or night, gear@mirrenvale.example"
    )
    answer = client_of(story.by).get(f"/{story.collection.slug}/papers/notice/{incident.code}/")
    page = as_file(answer.content.decode(), tmp_path)
    assert page.read_text().count('src="tall.jpg"') == len(codes)
    assert printed(page) == [A4_POINTS]
