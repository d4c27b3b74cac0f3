"""Rules about the project itself, so that nobody has to remember them."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def modules(*packages: str) -> Iterator[Path]:
    """Every module under these packages but migrations, which Django writes."""
    for package in packages:
        for path in sorted((ROOT / package).rglob("*.py")):
            if "migrations" not in path.parts:
                yield path


def tree(path: Path) -> ast.Module:
    """The syntax tree of a module."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def shown(path: Path, line: int = 0) -> str:
    """A place in the project as an editor opens it."""
    return f"{path.relative_to(ROOT)}:{line}" if line else str(path.relative_to(ROOT))
