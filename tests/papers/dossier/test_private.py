"""Words that would give somebody or something away are known however they are written."""

from datetime import date

import pytest

from collection.catalogue.actions import add_piece
from collection.core.notice import Secrets
from collection.custody import actions as custody
from collection.custody.whereabouts import whereabouts
from collection.papers.dossier.contents import identity_of
from collection.papers.dossier.private import KEPT_BACK, Privacy, privacy_of
from collection.papers.dossier.queries import history_of
from collection.papers.linked.record import record_of
from collection.papers.object_id.queries import object_id_of

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


@pytest.mark.parametrize("said", ["branded mv7f42 inside", "MV 7F 42", "MV-7F-42"])
def test_the_hidden_mark_is_known_however_it_is_spaced(said):
    privacy = Privacy(known=None, parties={}, secrets=Secrets(marks=("MV-7F-42",)))
    assert privacy.leaks(said) == "tells the hidden mark"


@pytest.mark.django_db
def test_a_serial_that_is_the_hidden_mark_is_kept_back_everywhere(technician):
    piece = add_piece(
        collection=technician.collection, by=technician, code="A-031", kind="amplifier",
        serial="mv7f42", hidden_mark="MV-7F-42",
    )  # fmt: skip
    history = history_of(piece, technician, whereabouts(technician))
    sheet = object_id_of(piece, technician, today=date(2026, 11, 24))
    record = record_of(history, address="https://gear.example/a-031/")
    identity = dict(identity_of(piece, history.privacy))
    assert identity["Serial, as marked"] == KEPT_BACK
    for told in (str(sheet.sheet), str(record)):
        assert "mv7f42" not in told.casefold()


@pytest.mark.django_db
def test_the_town_of_a_private_place_gives_it_away_unless_a_public_one_is_there_too(technician):
    who = {"collection": technician.collection, "by": technician}
    piece = add_piece(**who, code="A-031", kind="amplifier")
    custody.add_place(**who, name="The cellar", kind="house", town="Portpatrick", private=True)
    custody.add_place(**who, name="Bay 1", kind="room", town="Dumfries")
    custody.add_place(**who, name="Upstairs", kind="house", town="Dumfries", private=True)
    privacy = privacy_of(piece, whereabouts(technician))
    assert privacy.leaks("fetched from Portpatrick") == "names a private place"
    assert privacy.leaks("played in Dumfries") == ""
