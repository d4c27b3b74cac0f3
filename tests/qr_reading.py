"""A small reader of QR codes, written from ISO/IEC 18004, to check codes by another way.

Reads undamaged codes of versions 1 to 6: it does not correct errors. Format information, masks,
alignment and block sizes are those of the standard's tables.
"""

from PIL import Image

Rows = list[list[bool]]
MASKS = (
    lambda r, c: (r + c) % 2 == 0,
    lambda r, c: r % 2 == 0,
    lambda r, c: c % 3 == 0,
    lambda r, c: (r + c) % 3 == 0,
    lambda r, c: (r // 2 + c // 3) % 2 == 0,
    lambda r, c: r * c % 2 + r * c % 3 == 0,
    lambda r, c: (r * c % 2 + r * c % 3) % 2 == 0,
    lambda r, c: ((r + c) % 2 + r * c % 3) % 2 == 0,
)
FORMAT_MASK = 0b101010000010010
LEVELS = {0b01: "L", 0b00: "M", 0b11: "Q", 0b10: "H"}
# (version, level) -> data codewords of each block
BLOCKS = {
    (1, "L"): (19,), (1, "M"): (16,), (1, "Q"): (13,), (1, "H"): (9,),
    (2, "L"): (34,), (2, "M"): (28,), (2, "Q"): (22,), (2, "H"): (16,),
    (3, "L"): (55,), (3, "M"): (44,), (3, "Q"): (17, 17), (3, "H"): (13, 13),
    (4, "L"): (80,), (4, "M"): (32, 32), (4, "Q"): (24, 24), (4, "H"): (9, 9, 9, 9),
    (5, "L"): (108,), (5, "M"): (43, 43), (5, "Q"): (15, 15, 16, 16), (5, "H"): (11, 11, 12, 12),
    (6, "L"): (68, 68), (6, "M"): (27, 27, 27, 27), (6, "Q"): (19, 19, 19, 19),
    (6, "H"): (15, 15, 15, 15),
}  # fmt: skip
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def read_modules(image: Image.Image, across: int) -> Rows:
    """The modules of a code that fills a square picture, `across` with its quiet zone of four."""
    grey = image.convert("L")
    step = grey.width / across
    inner = range(4, across - 4)
    return [
        [grey.getpixel((int((c + 0.5) * step), int((r + 0.5) * step))) < 128 for c in inner]
        for r in inner
    ]


def text_of(rows: Rows) -> str:
    """The text of a code."""
    size = len(rows)
    version = (size - 17) // 4
    level, mask = _format(rows)
    bits = [rows[r][c] ^ MASKS[mask](r, c) for r, c in _path(size, version)]
    words = [
        int("".join(map(str, map(int, bits[i : i + 8]))), 2) for i in range(0, len(bits) - 7, 8)
    ]
    return _message(_joined(words, BLOCKS[version, level]))


def _format(rows: Rows) -> tuple[str, int]:
    spots = [(8, c) for c in (0, 1, 2, 3, 4, 5, 7, 8)] + [(r, 8) for r in (7, 5, 4, 3, 2, 1, 0)]
    said = int("".join(str(int(rows[r][c])) for r, c in spots), 2) ^ FORMAT_MASK
    return LEVELS[said >> 13], said >> 10 & 7


def _fixed(size: int, version: int) -> set[tuple[int, int]]:
    """Modules that carry no data: finders, format, timing, alignment."""
    found = {(6, c) for c in range(size)} | {(r, 6) for r in range(size)}
    for top, left in ((0, 0), (0, size - 8), (size - 8, 0)):
        found |= {(top + r, left + c) for r in range(8) for c in range(8)}
    found |= {(8, c) for c in (*range(9), *range(size - 8, size))}
    found |= {(r, 8) for r in (*range(9), *range(size - 8, size))}
    if version > 1:
        middle = size - 7
        found |= {(middle + r, middle + c) for r in range(-2, 3) for c in range(-2, 3)}
    return found


def _path(size: int, version: int) -> list[tuple[int, int]]:
    """The data modules in reading order: two columns at a time from the right, up and down."""
    fixed, found, up = _fixed(size, version), [], True
    for right in (*range(size - 1, 6, -2), *range(5, 0, -2)):
        for r in range(size - 1, -1, -1) if up else range(size):
            found += [(r, c) for c in (right, right - 1) if (r, c) not in fixed]
        up = not up
    return found


def _joined(words: list[int], blocks: tuple[int, ...]) -> list[int]:
    """The data codewords, taken back out of their interleaving."""
    parts: list[list[int]] = [[] for _ in blocks]
    each = iter(words)
    for place in range(max(blocks)):
        for part, length in zip(parts, blocks, strict=True):
            if place < length:
                part.append(next(each))
    return [word for part in parts for word in part]


def _message(words: list[int]) -> str:
    bits = "".join(f"{word:08b}" for word in words)
    said = ""
    while len(bits) >= 4 and (mode := int(bits[:4], 2)):
        bits = bits[4:]
        length_bits = {1: 10, 2: 9, 4: 8}[mode]
        count, bits = int(bits[:length_bits], 2), bits[length_bits:]
        part, bits = {1: _digits, 2: _letters, 4: _bytes}[mode](bits, count)
        said += part
    return said


def _digits(bits: str, count: int) -> tuple[str, str]:
    said = ""
    while count:
        taken = min(3, count)
        width = {3: 10, 2: 7, 1: 4}[taken]
        said, bits = said + f"{int(bits[:width], 2):0{taken}d}", bits[width:]
        count -= taken
    return said, bits


def _letters(bits: str, count: int) -> tuple[str, str]:
    said = ""
    while count:
        taken = min(2, count)
        width = {2: 11, 1: 6}[taken]
        value, bits = int(bits[:width], 2), bits[width:]
        pair = divmod(value, 45) if taken == 2 else (value,)
        said += "".join(ALPHANUMERIC[one] for one in pair)
        count -= taken
    return said, bits


def _bytes(bits: str, count: int) -> tuple[str, str]:
    data = bytes(int(bits[8 * i : 8 * i + 8], 2) for i in range(count))
    return data.decode("utf-8"), bits[8 * count :]
