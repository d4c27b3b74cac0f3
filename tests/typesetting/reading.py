"""What a PDF says, read back with a library that did not write it."""

import io
import re

import pikepdf


def opened(made):
    return pikepdf.open(io.BytesIO(made))


def text_of(made):
    """The words of every page, through the fonts' ToUnicode tables."""
    with opened(made) as pdf:
        return "".join(_page_text(page) for page in pdf.pages)


def _page_text(page):
    tables = {name: _to_unicode(font) for name, font in page.Resources.Font.items()}
    found, table = [], {}
    for operands, operator in pikepdf.parse_content_stream(page):
        if str(operator) == "Tf":
            table = tables[str(operands[0])]
        elif str(operator) in ("Tj", "TJ"):
            parts = operands[0] if str(operator) == "TJ" else [operands[0]]
            for part in parts:
                if isinstance(part, pikepdf.String):
                    raw = bytes(part)
                    pairs = zip(raw[::2], raw[1::2], strict=True)
                    found += [table.get(a * 256 + b, "") for a, b in pairs]
    return "".join(found)


def _to_unicode(font):
    table = {}
    for source, target in re.findall(
        rb"^<([0-9a-fA-F]{4})> <([0-9a-fA-F]+)>", font.ToUnicode.read_bytes(), re.M
    ):
        table[int(source, 16)] = bytes.fromhex(target.decode()).decode("utf-16-be")
    return table
