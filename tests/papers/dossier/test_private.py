"""Words that would give somebody or something away are known however they are written."""

import pytest

from collection.core.notice import Secrets
from collection.papers.dossier.private import Privacy

SECRETS = Secrets(names=("Jonah Rae",), places=("Low barn",), marks=("notch under the lip",))


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("BOUGHT FROM JONAH RAE", "names a person or firm"),
        ("ASK RAE FIRST", "names a person or firm"),
        ("KEPT AT LOW BARN", "names a private place"),
        ("NOTCH UNDER THE LIP", "tells the hidden mark"),
        ("Bought from Jonah Rae", "names a person or firm"),
        ("DO NOT POWER", ""),
    ],
)
def test_a_tag_in_capitals_gives_nothing_away(said, why):
    assert Privacy(known=None, parties={}, secrets=SECRETS).leaks(said) == why
