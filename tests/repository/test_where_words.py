"""Where a thing is: every page says in the same words that nobody knows."""

import re
from pathlib import Path

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
SAID = re.compile(r'\{\{ (?:\w+\.)?where\|default:"([^"]+)" \}\}')
PAGES = ("desk", "custody", "bench", "road")
# Not of a piece: where a spare of another night comes from, where a case stands.
OTHERS = {"road/cover/cover.html", "custody/cases/cases.html"}


def test_an_unknown_place_is_said_in_one_wording():
    found = {
        (str(file.relative_to(TEMPLATES)), words)
        for part in PAGES
        for file in (TEMPLATES / part).rglob("*.html")
        for words in SAID.findall(file.read_text(encoding="utf-8"))
    }
    said = {words for file, words in found if file not in OTHERS}
    assert said == {"nobody has said where"}
    assert len(found) > 6
