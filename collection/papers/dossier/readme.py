"""The file beside the entries that says what they are and how they are checked without us."""

from collection.papers.dossier.queries import Standing

TEXT = """\
Dossier of {code}, {collection}

entries.json holds {count} entries of the book of this collection, word for word, each with the
hashes that lead from it to the root of the book when the book had {size} entries:

  {size}:{root}

What it shows: each of these entries stood in the book exactly like this. What it does not show:
entries that were not chosen for it, and whether what was written is true.

It shows that only against a root that reached you by another way: a letter, a printed seal, an
earlier dossier. A root read from this file proves nothing. Older seals listed under "seals" come
with the proof that the book only grew since.

How to check it
- On any site of this register: the page "Check a dossier", with this file or the whole PDF, and
  your root. Nothing is stored there.
- On a machine with the register: manage.py verify --dossier FILE --root SIZE:ROOT
- Without either: the leaf of an entry is SHA-256(00 || C), C being its "content" as canonical JSON
  (RFC 8785) in UTF-8. Walk its "proof" as RFC 9162 section 2.1.3.2 says, nodes being
  SHA-256(01 || left || right); the result must be the root. "words_hash" is SHA-256 of the 16 bytes
  of "words_salt" followed by "words" as a canonical JSON string; words that are null were kept back
  or taken out, and the proof holds all the same.

Trust entries.json rather than the pages: the pages are set from it, and anybody can print pages.
"""


def readme(code: str, collection: str, *, count: int, book: Standing) -> bytes:
    """The text for one dossier."""
    said = TEXT.format(
        code=code, collection=collection, count=count, size=book.size, root=book.root
    )
    return said.encode()
