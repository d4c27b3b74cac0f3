"""Every life-line template renders its sentence and words, escaped, and nothing unsafe."""

from types import SimpleNamespace

import pytest
from django.template.loader import render_to_string

from collection.core.events import KINDS


def rendered(kind: str, **facts: object) -> str:
    event = SimpleNamespace(
        sentence="Seen & heard.", words="<b>loud</b>", facts=SimpleNamespace(**facts), photos=()
    )
    return render_to_string(f"ledger/events/{kind}.html", {"event": event})


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_it_says_the_sentence_and_the_words_and_escapes_both(kind: str):
    page = rendered(kind)
    assert "<p>Seen &amp; heard.</p>" in page
    assert "&lt;b&gt;loud&lt;/b&gt;" in page
    assert "<script" not in page
    assert "style=" not in page


def test_grades_identity_and_counts_are_listed():
    assert "<dt>V1</dt><dd>2</dd>" in rendered("tested", passed=(("V1", 2),), failed=1)
    assert "<li>grain</li>" in rendered("recovered", identity=("grain",))
    assert "<dt>sealed</dt><dd>38</dd>" in rendered("counted", seen=(("sealed", 38),))
