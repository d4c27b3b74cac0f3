"""One function from a template and data to the bytes of a PDF."""

import json
import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import typst
from django.conf import settings

from registry.typesetting.attachment import Attachment
from registry.typesetting.glyphs import visible

STANDARDS = ("a-3a", "ua-1")
_TEMPLATE = re.compile(r"[a-z][a-z0-9_]*(/[a-z][a-z0-9_]*)*")
_PICTURE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,119}")
_HEADS = {b"\xff\xd8\xff": "jpg", b"\x89PNG\r\n\x1a\n": "png"}


class PaperFailed(Exception):
    """A paper that could not be set; says which one and why."""

    def __init__(self, template: str, reason: str) -> None:
        self.template, self.reason = template, reason
        super().__init__(f"The paper '{template}' could not be set: {reason}")


def typeset(
    template: str,
    data: Mapping[str, Any],
    *,
    pictures: Mapping[str, bytes] | None = None,
    attachments: Sequence[Attachment] = (),
    title: str,
    language: str = "en",
    made_at: datetime,
) -> bytes:
    """Set `templates/papers/<template>.typ` as PDF/A-3a and PDF/UA-1.

    The same arguments give the same bytes. `data` must be plain JSON; it reaches the template as
    values, so markup typed by people stays text. `pictures` are rebuilt JPEG or PNG derivatives by
    name; never originals, which carry where they were taken. `made_at` is an aware instant.

    Raises:
        PaperFailed: an unknown template, data that is no JSON, a picture of another format, or
            whatever the compiler refuses, such as a picture without an `alt`.
    """
    if made_at.tzinfo is None:
        raise PaperFailed(template, "made_at needs a time zone")
    named = _named(template, pictures or {})
    paper = {
        "title": title,
        "language": language,
        "made": _moment(made_at),
        "pictures": {name: f"/pictures/{file}" for name, (file, _) in named.items()},
        "attached": [_told(number, each) for number, each in enumerate(attachments)],
    }
    inputs = {
        "data": _json(template, visible(dict(data))),
        "paper": _json(template, visible(paper)),
    }
    files = {f"pictures/{file}": content for file, content in named.values()}
    files |= {f"attached/{n}": each.content for n, each in enumerate(attachments)}
    return _compiled(template, files, inputs, made_at)


def _compiled(
    template: str, files: Mapping[str, bytes], inputs: dict[str, str], made_at: datetime
) -> bytes:
    """Run the compiler in a folder of its own, which is gone afterwards whatever happens."""
    with TemporaryDirectory(prefix="paper-") as folder:
        root = Path(folder)
        main = _laid_out(root, template, files)
        try:
            made: bytes = typst.compile(
                main,
                root=root,
                format="pdf",
                pdf_standards=list(STANDARDS),
                ignore_system_fonts=True,
                package_path=root / "none",
                package_cache_path=root / "none",
                sys_inputs=inputs,
                timestamp=made_at.astimezone(UTC).replace(microsecond=0),
            )
        except (typst.TypstError, RuntimeError, OSError) as refusal:
            raise PaperFailed(template, str(refusal).replace(folder, "")) from refusal
    return made


def _laid_out(root: Path, template: str, files: Mapping[str, bytes]) -> Path:
    """Templates, pictures and attachments as the compiler sees them; nothing else is in reach."""
    source = Path(settings.BASE_DIR) / "templates" / "papers"
    if not _TEMPLATE.fullmatch(template) or not (source / f"{template}.typ").is_file():
        raise PaperFailed(template, "there is no such template")
    for each in source.rglob("*.typ"):
        files = {**files, f"papers/{each.relative_to(source)}": each.read_bytes()}
    for name, content in files.items():
        target = root / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return root / "papers" / f"{template}.typ"


def _named(template: str, pictures: Mapping[str, bytes]) -> dict[str, tuple[str, bytes]]:
    """Each picture with a file name that tells its format, read from the bytes themselves."""
    found: dict[str, tuple[str, bytes]] = {}
    for number, (name, content) in enumerate(sorted(pictures.items())):
        ending = next((e for head, e in _HEADS.items() if content.startswith(head)), None)
        if ending is None or not _PICTURE.fullmatch(name):
            raise PaperFailed(template, f"picture {name!r} is neither a JPEG nor a PNG")
        found[name] = (f"{number}.{ending}", content)
    return found


def _told(number: int, each: Attachment) -> dict[str, str]:
    return {
        "path": f"/attached/{number}",
        "name": each.name,
        "mime": each.mime,
        "about": each.about,
        "relationship": each.relationship.value,
    }


def _moment(made_at: datetime) -> dict[str, int]:
    utc = made_at.astimezone(UTC)
    parts = ("year", "month", "day", "hour", "minute", "second")
    return {part: getattr(utc, part) for part in parts}


def _json(template: str, data: Mapping[str, Any]) -> str:
    try:
        return json.dumps(data, ensure_ascii=False, allow_nan=False, sort_keys=True)
    except (TypeError, ValueError) as fault:
        raise PaperFailed(template, f"the data is no JSON: {fault}") from fault
