"""Files that ride inside a paper, and what they are to it."""

import re
from dataclasses import dataclass
from enum import StrEnum

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")


class Relationship(StrEnum):
    """AFRelationship of ISO 19005-3: what the file is to the page that carries it."""

    DATA = "data"
    SOURCE = "source"
    SUPPLEMENT = "supplement"


@dataclass(frozen=True)
class Attachment:
    """One file to embed; `mime` such as 'application/json', `about` in words for the reader."""

    name: str
    content: bytes
    mime: str
    about: str
    relationship: Relationship = Relationship.DATA

    def __post_init__(self) -> None:
        if not _NAME.fullmatch(self.name):
            raise ValueError(f"attachment {self.name!r}: letters, digits, '.', '_', '-' only")
