"""What a page of a form says against it, read from the page for what asks without eyes."""

from html.parser import HTMLParser


class _Wrong(HTMLParser):
    """Collects what stands in `.wrong-list` and beside fields in `.wrong-note`, with labels."""

    def __init__(self) -> None:
        super().__init__()
        self.label, self.found = "", []
        self._of: list[tuple[str, str]] = []  # open elements that matter: (tag, what)
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        classes = (dict(attrs).get("class") or "").split()
        inside = self._of[-1][1] if self._of else ""
        if tag == "div" and ({"wrong-list", "wrong-note"} & set(classes)):
            self._of.append((tag, "note" if "wrong-note" in classes else "list"))
        elif tag in {"label", "legend"}:
            self._begin(tag, "label")
        elif tag == "p" and inside in {"note", "list"}:
            self._begin(tag, f"{inside} line")
        elif tag == "div" and self._of:
            self._of.append((tag, inside))

    def handle_endtag(self, tag: str) -> None:
        if not self._of or self._of[-1][0] != tag:
            return
        _, what = self._of.pop()
        text = " ".join(self._text.split())
        if what == "label":
            self.label = text.removesuffix(" optional")
        elif what == "note line":
            self.found.append(f"{self.label}: {text}" if self.label else text)
        elif what == "list line" and not text.startswith("Not saved yet"):
            self.found.append(text)

    def handle_data(self, data: str) -> None:
        self._text += data

    def _begin(self, tag: str, what: str) -> None:
        self._of.append((tag, what))
        self._text = ""


def findings(page: str) -> list[str]:
    """What a page of a form says against it, in the order of the page."""
    wrong = _Wrong()
    wrong.feed(page)
    return wrong.found
