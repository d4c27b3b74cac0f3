"""How long a dossier takes: `python -m tests.benchmarks dossier`.

300 entries and 24 photos, from the entries to the file, beside the compiler alone on the same words
and pictures. The book around it has 5,000 entries; the database is not in it.
"""

import io
import os
import tempfile
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import typst
from PIL import Image

from collection.core import dossier_check, merkle
from collection.core.canonical import leaf_content, words_hash
from collection.core.dossier_file import Shown, dossier_file
from collection.core.merkle_branches import BRANCH, subtree_root
from collection.core.merkle_paths import branch_paths
from registry.typesetting import Attachment, typeset
from tests.benchmarks.forecast import best_ms

ENTRIES, PHOTOS, BOOK = 300, 24, 5_000
BOOK_CODE, SALT = "ab" * 16, "cd" * 16
MADE_AT = datetime(2026, 11, 24, 14, 20, tzinfo=UTC)
SAYS = "Repaired: filter capacitors renewed, ripple before and afterwards measured under load."
LIMIT_MS = 2000


def measure() -> list[tuple[str, str]]:
    """Milliseconds of the whole, of its parts, and the ratio to the compiler alone."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")  # where templates lie
    leaves, contents = _book()
    pictures, data = _pictures(), _data()
    file = partial(_file, leaves, contents)
    inside = file()
    whole = best_ms(lambda: _paper(data, pictures, file()), 3)
    bare = best_ms(lambda: _bare(pictures), 3)
    proofs = best_ms(file, 3)
    checking = best_ms(lambda: dossier_check.check(inside), 3)
    size = f"{ENTRIES} entries, {PHOTOS} photos"
    return [
        (f"dossier of {size}, limit {LIMIT_MS} ms", f"{whole:.0f} ms"),
        ("the compiler alone on the same words and pictures", f"{bare:.0f} ms"),
        ("the dossier beside it", f"{whole / bare:.1f} times as long"),
        (f"of it, proofs under a book of {BOOK:,} and the attached file", f"{proofs:.0f} ms"),
        (f"checking the {len(inside) // 1024} kB file of {ENTRIES} entries", f"{checking:.0f} ms"),
    ]


def _book() -> tuple[list[bytes], dict[int, dict]]:
    numbers = range(0, BOOK, BOOK // ENTRIES)
    contents = {number: _content(number) for number in list(numbers)[:ENTRIES]}
    leaves = [
        merkle.leaf_hash(leaf_content(contents[n]) if n in contents else str(n).encode())
        for n in range(BOOK)
    ]
    return leaves, contents


def _content(number: int) -> dict:
    return {
        "purpose": "registry/entry", "version": 1, "book": BOOK_CODE, "entry": number,
        "act": "1" * 32, "once": None, "subject": "A-007", "names": {}, "kind": "noted",
        "facts_version": 1, "facts": {"about": SAYS}, "happened": "2026-03-14",
        "recorded_at": "2026-03-14T12:15:00.000000Z", "written_at": None, "recorded_by": "ines",
        "source": "seen", "certainty": "certain", "corrects": None, "answers": None,
        "words_hash": words_hash(SALT, SAYS), "salt": f"{number:032x}",
    }  # fmt: skip


def _file(leaves: list[bytes], contents: dict[int, dict]) -> bytes:
    """What the site does: branch roots are kept, leaves of the branches concerned are read."""
    full = BOOK // BRANCH
    parts = {n: leaves[n * BRANCH : (n + 1) * BRANCH] for n in range(full)}
    roots, tail = [subtree_root(part) for part in parts.values()], leaves[full * BRANCH :]
    paths = branch_paths(roots, tail, leaves=parts, indices=contents)
    frontier: tuple[bytes, ...] = ()
    for leaf in leaves:
        frontier = merkle.append(frontier, leaf)
    shown = [Shown(one, paths[n], words=SAYS, words_salt=SALT) for n, one in contents.items()]
    return dossier_file(subject="A-007", frontier=frontier, entries=shown)


def _paper(data: dict, pictures: dict[str, bytes], inside: bytes) -> bytes:
    attached = [Attachment("entries.json", inside, "application/json", "The entries")]
    return typeset(
        "dossier/dossier", data, pictures=pictures, attachments=attached,
        title="Dossier of A-007", made_at=MADE_AT,
    )  # fmt: skip


def _data() -> dict:
    row = {
        "when": "14 March 2026", "says": SAYS, "words": SAYS, "source": "seen", "from": "",
        "certainty": "certain", "by": "ines", "entries": "12", "kept_back": False,
        "taken_out": False, "struck": [],
    }  # fmt: skip
    photo = {"alt": "Detail of A-007", "caption": "Detail", "sha256": "0" * 64}
    return {
        "code": "A-007", "called": "Harbour 50", "collection": "Mirren Vale", "as_of": "today",
        "for_whom": "", "identity": [["Maker", "Holm Electric"]] * 12, "marks": [],
        "built": {"any": False, "not_shown": 0, "conflicts": [], "positions": []},
        "provenance": {"paragraph": "", "notes": [], "warnings": [], "explained": ""},
        "titles": [], "life": [row] * ENTRIES, "documents": [], "questions": [],
        "photos": [{**photo, "name": f"{n}.jpg"} for n in range(PHOTOS)],
        "proof": {"size": BOOK, "root": ["0" * 19] * 4, "pair": "", "entries": ENTRIES,
                  "lines": ENTRIES, "left_out": 0, "kept_back": 0},
    }  # fmt: skip


def _pictures() -> dict[str, bytes]:
    """Pictures of the size that pages show, with enough in them not to shrink to nothing."""
    made = {}
    for number in range(PHOTOS):
        noise = Image.effect_noise((320, 240), 60 + number).resize((1280, 960)).convert("RGB")
        out = io.BytesIO()
        noise.save(out, "JPEG", quality=82)
        made[f"{number}.jpg"] = out.getvalue()
    return made


def _bare(pictures: dict[str, bytes]) -> bytes:
    """The same words and pictures with nothing of ours: no proofs, no rules, no attachments."""
    words = f"#for n in range({ENTRIES}) [#par[14 March 2026 {SAYS} {SAYS} seen, ines, entry 12]]\n"
    shown = "".join(f'#image("{name}", alt: "Detail", width: 80mm)\n' for name in pictures)
    with tempfile.TemporaryDirectory() as folder:
        for name, content in pictures.items():
            (Path(folder) / name).write_bytes(content)
        main = Path(folder) / "main.typ"
        main.write_text('#set document(title: "Dossier")\n' + words + shown)
        return typst.compile(
            main, root=folder, format="pdf", pdf_standards=["a-3a", "ua-1"],
            ignore_system_fonts=True, timestamp=MADE_AT,
        )  # fmt: skip


if __name__ == "__main__":
    for label, text in measure():
        print(f"{label:<64} {text}")
