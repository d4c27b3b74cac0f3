"""Characters of a serial that are easily read as another one, and how to spell them out."""

from dataclasses import dataclass

# Look-alikes on stamped, printed and hand-written plates; common practice, no source.
LETTERS = {
    "O": "letter O", "o": "small letter O", "Q": "letter Q", "I": "letter I", "i": "small letter I",
    "l": "small letter L", "S": "letter S", "s": "small letter S", "B": "letter B", "Z": "letter Z",
    "z": "small letter Z", "G": "letter G",
}  # fmt: skip
DIGITS = {"0": "zero", "1": "one", "5": "five", "8": "eight", "2": "two", "6": "six"}
ALWAYS = "01"  # doubtful wherever a letter could stand
TWIN = {"5": "Ss", "8": "B", "2": "Zz", "6": "G"}  # doubtful only beside their letter


@dataclass(frozen=True)
class Stretch:
    """Part of a serial that is doubtful throughout, or not at all."""

    text: str
    doubtful: bool


def stretches(serial: str) -> tuple[Stretch, ...]:
    """Cut a serial into doubtful and plain stretches; together they are the serial.

    A serial of digits alone holds no doubt. In any other, the listed letters are doubtful, and
    so are 0 and 1; 5, 8, 2 and 6 only when the serial also holds the letter they resemble, or
    every figure would be marked and none would be read (a house rule).

    >>> [part.text for part in stretches("5O2-I6407") if part.doubtful]
    ['O', 'I', '0']
    """
    parts: list[Stretch] = []
    for character in serial:
        doubt = _is_doubtful(character, serial)
        if parts and parts[-1].doubtful == doubt:
            parts[-1] = Stretch(parts[-1].text + character, doubt)
        else:
            parts.append(Stretch(character, doubt))
    return tuple(parts)


def spelt_out(serial: str) -> str:
    """Name the doubtful characters in order; '' when there are none.

    >>> spelt_out("5O2-I6407")
    'letter O, letter I, then zero'
    >>> spelt_out("502164")
    'digits only'
    """
    if any(one.isdigit() for one in serial) and not any(one.isalpha() for one in serial):
        return "digits only"
    names = [(LETTERS | DIGITS)[one] for one in serial if _is_doubtful(one, serial)]
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])}, then {names[-1]}"


def _is_doubtful(character: str, serial: str) -> bool:
    if not any(one.isalpha() for one in serial):
        return False
    if character in LETTERS or character in ALWAYS:
        return True
    return any(letter in serial for letter in TWIN.get(character, ""))
