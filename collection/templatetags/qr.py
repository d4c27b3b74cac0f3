"""QR codes for what is printed. Load with `{% load qr %}`."""

from django import template

from collection.core.qr_code import QrCode, qr_code

register = template.Library()


@register.inclusion_tag("_parts/draw/qr.html")
def qr(address: str) -> dict[str, QrCode]:
    """A QR code that opens an address; what it opens stands beside it in words."""
    return {"code": qr_code(address)}
