"""Codes: what they look like and which one comes next."""

import re

CODE = re.compile(r"[A-Z][A-Z0-9]{0,7}(-[A-Z0-9]{1,16}){0,3}\Z")

# Kinds of subject and the letter their codes start with when the register gives one.
PREFIXES = {
    "place": "P",
    "party": "N",
    "lot": "L",
    "part": "S",
    "show": "W",
    "session": "R",
    "tour": "T",
    "incident": "I",
    "fault": "F",
    "job": "J",
    "question": "Q",
    "stocktake": "COUNT",
    "loan": "LN",
    "shipment": "FR",
    "seal": "SEAL",
    "handover": "HO",
    "carnet": "CN",
    "certificate": "MIC",
    "policy": "POL",
}


def well_formed(code: str) -> bool:
    """Whether a text is a code such as A-007 or OS-14."""
    return len(code) <= 40 and CODE.match(code) is not None


def following(prefix: str, taken: list[str]) -> str:
    """The next free code of a prefix: three digits at least, never one used before."""
    numbers = [int(match[1]) for code in taken if (match := re.fullmatch(rf"{prefix}-(\d+)", code))]
    return f"{prefix}-{max(numbers, default=0) + 1:03d}"
