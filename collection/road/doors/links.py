"""A link as a picture that another phone reads."""

import segno
from django.utils.safestring import SafeString, mark_safe


def qr_of(address: str) -> SafeString:
    """The address as an SVG of its own black and white, readable in either light."""
    drawn = segno.make(address, error="m", micro=False)
    svg = drawn.svg_inline(scale=4, border=4, dark="#000", light="#fff", omitsize=True)
    # What segno draws holds numbers alone; the address is not in the text of the picture.
    return mark_safe(svg)
