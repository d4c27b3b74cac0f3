"""Labels set on their sheet as a PDF."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from collection.papers.labels.forms import LabelsForm
from registry.typesetting import typeset

TITLES = {"piece": "Labels", "tag": "Swing tags", "case": "Case labels"}


def pdf(form: LabelsForm, *, contact: str, made_at: datetime) -> bytes:
    """The sheets of a valid form."""
    codes = form.qr_codes()
    data = {
        "kind": form.cleaned_data["kind"],
        "paper": form.cleaned_data["paper"],
        "sheets": max((spot.sheet for spot in form.spots), default=0) + 1,
        "width": _mm(form.sheet.width_mm),
        "height": _mm(form.sheet.height_mm),
        "qr": _mm(form.qr_mm),
        "labels": _placed(form, contact),
    }
    pictures = {f"qr-{n}.png": code.png(dots=4) for n, code in enumerate(codes)}
    title = TITLES[form.cleaned_data["kind"]]
    return typeset("labels", data, pictures=pictures, title=title, made_at=made_at)


def _placed(form: LabelsForm, contact: str) -> list[dict[str, Any]]:
    words = form.cleaned_data["words"]
    found = f"If found: {contact}" if contact and form.cleaned_data["kind"] == "tag" else ""
    return [
        {
            "code": label.code,
            "name": label.name,
            "lines": [line for line in (*label.lines, words, found) if line],
            "two_people": label.two_people,
            "picture": f"qr-{number}.png",
            "sheet": spot.sheet,
            "x": _mm(spot.x_mm),
            "y": _mm(spot.y_mm),
        }
        for number, (label, spot) in enumerate(zip(form.labels, form.spots, strict=True))
    ]


def _mm(length: Decimal) -> float:
    return round(float(length), 3)
