"""Each kind of event has its module, template, test and line for developers; none is left over."""

import re
from pathlib import Path

import pytest

from collection.core import events
from collection.core.events import KINDS, UnknownKind, choices, facts_of

ROOT = Path(__file__).parents[2]
MODULES = Path(events.__file__).parent
TEMPLATES = ROOT / "templates/ledger/events"
NOT_KINDS = {"__init__", "kind"}


def stems(folder: Path, pattern: str) -> set[str]:
    return {path.stem for path in folder.glob(pattern)}


def test_the_table_holds_every_module_under_its_own_name():
    assert stems(MODULES, "*.py") - NOT_KINDS == set(KINDS)
    for name, kind in KINDS.items():
        assert kind.__module__ == f"collection.core.events.{name}"
        assert kind.__name__ == "".join(part.capitalize() for part in name.split("_"))


def test_every_kind_has_a_template_and_no_template_lacks_a_kind():
    assert {name for name in stems(TEMPLATES, "*.html") if not name.startswith("_")} == set(KINDS)


def test_every_kind_has_a_test_and_no_test_lacks_a_kind():
    tests = stems(ROOT / "tests/core/events", "test_*.py")
    assert {name.removeprefix("test_") for name in tests} == set(KINDS)


def test_every_kind_has_one_row_for_developers():
    text = (ROOT / "DEVELOPERS.md").read_text()
    section = text.split("## Kinds of event", 1)[1].split("\n## ", 1)[0]
    rows = re.findall(r"^\| `(\w+)` \|", section, flags=re.MULTILINE)
    assert sorted(rows) == sorted(KINDS)


def test_only_a_gate_and_a_lifted_tag_are_plans():
    plans = {name for name, kind in KINDS.items() if not kind.observed}
    assert plans == {"cleared", "tag_lifted"}


def test_an_unknown_kind_is_refused_by_name():
    with pytest.raises(UnknownKind, match="vanished"):
        facts_of("vanished", {})


def test_choices_are_every_kind_in_words():
    assert dict(choices())["died_in_use"] == "died in use"
    assert [kind for kind, _ in choices()] == sorted(KINDS)
