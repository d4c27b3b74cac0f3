"""What the content policy `default-src 'self'` and a reader without eyes need of every template."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
STYLES = ROOT / "collection/static/collection/css"
names = {"ids": lambda path: str(path.relative_to(ROOT))}

FORBIDDEN = {
    "a style attribute": r"<[^>]*\sstyle\s*=",
    "a style element": r"<style\b",
    "a handler": r"<[^>]*\son[a-z]+\s*=",
    "an htmx handler": r"hx-on\b|\bjs:",
    "an inline script": r"<script(?![^>]*\ssrc=)",
    "an address outside": r"<(?:script|link|img|iframe)[^>]*(?:src|href)=[\"']?(?:https?:)?//",
}


@pytest.mark.parametrize("path", TEMPLATES, **names)
def test_a_template_holds_nothing_the_policy_refuses(path):
    text = path.read_text()
    found = [what for what, pattern in FORBIDDEN.items() if re.search(pattern, text, re.I)]
    assert not found


@pytest.mark.parametrize("path", TEMPLATES, **names)
def test_every_picture_says_what_it_shows(path):
    images = re.findall(r"<img\b[^>]*>", path.read_text())
    assert [image for image in images if not re.search(r"\salt=", image)] == []


@pytest.mark.parametrize("path", TEMPLATES, **names)
def test_every_drawing_is_named_or_hidden(path):
    text = re.sub(r"<svg[^>]*\s[xy]=[^>]*>", "", path.read_text())  # parts of a drawing
    drawings = re.findall(r"<svg\b[^>]*>", re.sub(r"{%.*?%}", "", text))
    bare = [one for one in drawings if "aria-hidden" not in one and "aria-label" not in one]
    assert bare == []


@pytest.mark.parametrize(
    ("text", "what"),
    [('<p style="x">', "a style attribute"), ("<style>", "a style element"),
     ('<a onclick="x">', "a handler"), ("<script>x</script>", "an inline script"),
     ('<img src="https://x">', "an address outside"), ('<b hx-on:click="x">', "an htmx handler")],
)  # fmt: skip
def test_the_patterns_find_what_they_name(text, what):
    assert re.search(FORBIDDEN[what], text, re.I)


def test_every_stylesheet_is_linked_once_and_the_order_of_layers_first():
    text = (ROOT / "templates/_parts/styles.html").read_text()
    linked = re.findall(r"css/([\w-]+)\.css", text)
    assert linked[0] == "registry"
    assert sorted(linked) == sorted(path.stem for path in STYLES.glob("*.css"))


def test_every_stylesheet_stands_in_one_of_the_named_layers():
    order = (STYLES / "registry.css").read_text()
    layers = re.search(r"@layer ([\w, ]+);", order).group(1).split(", ")
    for path in STYLES.glob("*.css"):
        if path.stem != "registry":
            head = re.match(r"@layer (\w+) {\n", path.read_text())
            assert head, path.name
            assert head.group(1) in layers, path.name
