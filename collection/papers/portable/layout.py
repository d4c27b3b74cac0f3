"""What a carried collection looks like inside; the README that goes with it says the same."""

import re
from typing import Final

PURPOSE: Final = "registry/portable"
VERSION: Final = 1
README, MANIFEST, BOOK, MEMBERS = "README.txt", "manifest.json", "book.jsonl", "members.jsonl"
NAMES: Final = re.compile(
    r"README\.txt|manifest\.json|book\.jsonl|members\.jsonl"
    r"|tables/[a-z][a-z0-9_]*\.jsonl|photos/[0-9a-f]{64}"
)
LONGEST_LINE: Final = 64 * 2**20  # of one row; a kept spreadsheet is the longest
LARGEST_MANIFEST: Final = 64 * 2**20
CHUNK: Final = 2**20


class NotCarried(ValueError):
    """A file that is damaged, is none of ours, or cannot be taken in; says what and where."""


def table_file(table: str) -> str:
    """The file that holds the rows of a table."""
    return f"tables/{table}.jsonl"


TEXT: Final = """\
A working collection of stage gear in one file
==============================================

Everything is JSON (RFC 8259, UTF-8), one object a line in the files that end in .jsonl, so that it
can be read without the register it came from.

manifest.json   What is here: the collection, number of entries and root of its book, and bytes
                and SHA-256 of every other file. Made last.
book.jsonl      Every entry of the book in order.
                  entry        number from 0, without gaps
                  content      what its leaf covers
                  leaf         SHA-256(0x00 || content as RFC 8785 canonical JSON), hex
                  words, source_note, words_salt
                               what people wrote; all three empty where it was taken out
                words_hash in content is SHA-256(words_salt || canonical JSON string of the text
                '["words", "source_note"]'); null where there never were any.
                The root over all leaves is the tree hash of RFC 9162 section 2.1.1.
tables/*.jsonl  Rows as they stand today, one file a table; subject.jsonl has every code ever given.
                Numbers that point at another row are keys of that row's table.
                Bytes are base64, decimals and dates are text.
members.jsonl   Codes and names of who wrote; no passwords, and mail addresses only where chosen.
photos/         Original photos, each under its SHA-256, as the camera made them: they may say
                where they were taken.

What is not here: links that open something without an account, letters, what is made from the
entries (states, mentions, branches), the gazetteer.

Taking it in: manage.py carry_in FILE, on a site that does not have this collection. Every hash is
checked first. That shows that the file is what was carried out; that nobody wrote a new file
altogether is shown only by a seal that somebody else has kept: manage.py verify --seal SIZE:ROOT.

Private: it holds private places, values and hidden marks. Keep it as you would keep the keys.
"""
