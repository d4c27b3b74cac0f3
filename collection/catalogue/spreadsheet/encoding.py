"""Find out how the bytes of a text file were meant.

Order: byte order mark; UTF-16 without one (every other byte zero); strict UTF-8; then one of the
single-byte encodings that office programs wrote, chosen by how much the characters outside ASCII
look like writing. A library that knows many more is asked only when none of those looks right.
The scores are a house rule.
"""

import codecs
import re
import unicodedata
from collections.abc import Iterable

from collection.catalogue.spreadsheet.table import TableRefused

MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# The first wins a tie, so the commonest stands first.
SINGLE_BYTE = (
    *("cp1252", "mac_roman", "cp850", "cp437", "cp1250", "cp1254"),
    *("cp1251", "cp1253", "koi8_r", "iso8859_2"),
)
SAMPLE_BYTES = 65_536

# Letters outside ASCII that go together; a wrong guess mixes those of several languages.
ALPHABETS = tuple(
    map(
        frozenset,
        (
            "äöüßé",
            "éèêëàâçîïôûùüœæ",
            "æøåäöéüð",
            "áéíóúñüãõâêôàç",
            "àèéìòùî",
            "éëïöèüáóêç",
            "áčďéěíňóřšťúůýžäľĺŕô",
            "ąćęłńóśźż",
            "áéíóöőúüű",
            "çğıöşüâîi",
            "áðéíóúýþæö",
            "čćđšž",
            "ăâîșțşţ",
        ),
    )
)
STANDING_ALONE = frozenset("àåøöéyæ")
SIGNS = frozenset("£€§°±²³½¼¾×·µ’‘“”„–—…«»™®© ")


def decode(data: bytes) -> str:
    """The text of a file, without its byte order mark.

    Raises:
        TableRefused: the file announces an encoding that it does not keep, or is no text.
    """
    for mark, encoding in MARKS:
        if data.startswith(mark):
            return _announced(data, encoding)
    if encoding := _unmarked_utf16(data):
        return _announced(data, encoding)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return _mostly_utf8(data) or _single_byte(data)


def _announced(data: bytes, encoding: str) -> str:
    if encoding.startswith("utf-16") and len(data) % 2:
        data = data[:-1] if data[-1:] in (b"\n", b"\r", b"\0") else data
    try:
        return data.decode(encoding).removeprefix("\ufeff")
    except UnicodeDecodeError:
        if encoding == "utf-8-sig":
            return _single_byte(data.removeprefix(codecs.BOM_UTF8))
        raise TableRefused(
            "The file begins like Unicode text but is damaged. Please save it again as CSV UTF-8."
        ) from None


def _mostly_utf8(data: bytes) -> str | None:
    """A few stray bytes, pasted in from elsewhere, do not make a UTF-8 file another one."""
    text = data.decode("utf-8", errors="surrogateescape")
    stray = set(re.findall("[\udc80-\udcff]", text))
    count = sum(map(text.count, stray))
    proper = sum(char > "\x7f" for char in text) - count
    if proper < 3 * count:
        return None
    for char in stray:
        meant = bytes([ord(char) - 0xDC00]).decode("cp1252", errors="replace")
        text = text.replace(char, meant)
    return text


def _unmarked_utf16(data: bytes) -> str | None:
    sample = data[: SAMPLE_BYTES // 2 * 2]
    half = len(sample) // 2
    if half < 2:
        return None
    even, odd = sample[0::2].count(0) / half, sample[1::2].count(0) / half
    if odd > 0.4 and even < 0.1:
        return "utf-16-le"
    if even > 0.4 and odd < 0.1:
        return "utf-16-be"
    return None


def _single_byte(data: bytes) -> str:
    sample = _telling_lines(data)
    scores = {encoding: _score(sample, encoding) for encoding in SINGLE_BYTE}
    likely = sorted(scores, key=scores.__getitem__, reverse=True)
    if scores[likely[0]] < 0.5 and (guess := _library_guess(sample)):
        likely.insert(0, guess)
    for encoding in likely:
        try:
            return data.decode(encoding)
        except (UnicodeDecodeError, LookupError):
            continue
    return data.decode("cp1252", errors="replace")


def _telling_lines(data: bytes) -> bytes:
    """Only lines with a byte outside ASCII say anything about a single-byte encoding."""
    lines: list[bytes] = []
    size = 0
    for line in data.splitlines():
        if not line.isascii():
            lines.append(line)
            size += len(line)
            if size > SAMPLE_BYTES:
                break
    return b"\n".join(lines)[: 2 * SAMPLE_BYTES]


def _score(sample: bytes, encoding: str) -> float:
    """Mean plausibility, at most 1, of the characters outside ASCII."""
    try:
        text = sample.decode(encoding)
    except UnicodeDecodeError:
        return -9.0
    around = zip(" " + text, text, text[1:] + " ", strict=False)
    strange = [three for three in around if three[1] > "\x7f"]
    letters = [char.lower() for _, char, _ in strange if _is_latin(char)]
    at_home = max((sum(map(known.__contains__, letters)) for known in ALPHABETS), default=0)
    mixed = (len(letters) - at_home) / len(strange) if strange else 0.0
    return _mean(_plausible(*three) for three in strange) - mixed / 2


def _is_latin(char: str) -> bool:
    return char.isalpha() and unicodedata.name(char, "").startswith("LATIN")


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found) if found else 0.0


def _plausible(before: str, char: str, after: str) -> float:
    category = unicodedata.category(char)
    if category.startswith("C"):
        return -5.0
    if not char.isalpha():
        inside = before.isalpha() and after.isalpha() and char not in "’·-"
        return -1.0 if inside else (0.9 if char in SIGNS else -0.5)
    beside = [near for near in (before, after) if near.isalpha()]
    foreign = [near for near in beside if near > "\x7f"]
    if not _is_latin(char):
        # A foreign script is written in whole words; a lone foreign letter is a wrong guess.
        return 0.8 if beside and len(foreign) == len(beside) else -1.0
    return _plausible_latin(before, char, after) - 0.6 * max(0, len(foreign) - (char in "ßöüä"))


def _plausible_latin(before: str, char: str, after: str) -> float:
    if (before.islower() and char.isupper()) or (char.islower() and after.isupper()):
        return -1.0
    if before.isdigit() or after.isdigit():
        return -0.5
    alone = not before.isalpha() and not after.isalpha()
    return -0.5 if alone and char.lower() not in STANDING_ALONE else 1.0


def _library_guess(sample: bytes) -> str | None:
    from charset_normalizer import from_bytes  # slow to load, rarely needed

    match = from_bytes(sample).best()
    return match.encoding if match else None
