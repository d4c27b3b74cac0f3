"""Headings in six languages find their field; what nobody knows stays unmapped."""

import pytest

from collection.catalogue.spreadsheet.columns import FIELDS, propose
from collection.catalogue.spreadsheet.headings import LEAVE, SYNONYMS, UNSETTLED, recognise
from collection.catalogue.spreadsheet.reading import read_table
from tests.catalogue.spreadsheet_samples import GERMAN, mapped, titled_workbook


def test_every_synonym_names_a_field_that_exists():
    assert set(SYNONYMS) - set(UNSETTLED) - {LEAVE} == set(FIELDS)


def test_a_german_inventory_is_mapped_whole():
    assert mapped(GERMAN.encode("cp1252")) == {
        "Inventarnummer": "code",
        "Gerät": "kind",
        "Hersteller": "maker",
        "Modell": "design",
        "Baujahr": "year",
        "Seriennummer": "serial",
        "Farbe": "finish",
        "Standort": "place",
        "Bei wem": "holder",
        "Funktioniert": "works",
        "Zuletzt geprüft": "checked",
        "Wert in €": "value",
        "Gewicht (kg)": "mass",
        "Umbauten": "modifications",
        "Bemerkungen": "notes",
    }


def test_a_workbook_is_mapped_by_its_headings():
    assert mapped(titled_workbook()) == {
        "ID": "code",
        "Item": "kind",
        "Maker": "maker",
        "Model": "design",
        "Year": "year",
        "Last tested": "checked",
        "Insured value": "value",
        "Works": "works",
        "Wt": "mass",
    }


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        *(("N° d’inventaire", "code"), ("Catégorie", "kind"), ("Marque", "maker")),
        *(("Année", "year"), ("N° de série", "serial"), ("Prêté à", "holder")),
        *(("Bouwjaar", "year"), ("Waarde (EUR)", "value"), ("Opmerkingen", "notes")),
        *(("Merke", "maker"), ("Vekt", "mass"), ("Årgang", "year"), ("Værdi DKK", "value")),
        *(("SERIAL NUMBER", "serial"), ("serial_no", "serial"), ("Weight (lbs)", "mass")),
        *(("Who's got it / who has it", "holder"), ("Insurance value £", "value")),
        *(("Manufacurer", "maker"), ("Seriel number", "serial"), ("Modificatons", "modifications")),
        ("Year last checked", "checked"),
    ],
)
def test_a_heading_is_recognised_however_it_is_written(heading, field):
    assert recognise(heading).field == field


@pytest.mark.parametrize("heading", ["Purchase price", "Date bought", "Made in", "Last gig"])
def test_what_was_paid_or_done_is_not_taken_for_what_a_piece_is(heading):
    assert recognise(heading).field == LEAVE


@pytest.mark.parametrize("heading", ["Foo", "xyzzy", "", "!!!", "a" * 5000])
def test_an_unknown_heading_is_no_field(heading):
    assert recognise(heading) is None


def test_cells_settle_what_headings_leave_open():
    data = b"Foo,Bar,Baz\nA-1,guitar,1961\nA-2,amp,c. 1959\nA-3,mic,1958-60\n"
    assert mapped(data) == {"Foo": "code", "Bar": "kind", "Baz": "year"}


def test_a_column_of_years_under_another_heading_is_left_alone():
    assert "Refretted" not in mapped(b"Tag,What,Refretted\nA-1,guitar,1999\nA-2,guitar,2001\n")
    assert "Sold in" not in mapped(b"Tag,What,Sold in\nA-1,guitar,1999\nA-2,guitar,2001\n")


def test_a_description_is_the_model_and_a_short_word_is_the_kind():
    long = b"Tag,Item,Brand\nA-1,Long Eight,Corrie\nA-2,Harbour 50,Holm Electric\n"
    short = b"Tag,Item,Brand\nA-1,lap steel,Corrie\nA-2,amp head,Holm Electric\n"
    assert mapped(long)["Item"] == "design"
    assert mapped(short)["Item"] == "kind"


def test_a_state_counts_as_working_only_if_its_words_say_so():
    working = b"Tag,What,Status\nA-1,amp,working\nA-2,amp,dead\n"
    looks = b"Tag,What,Condition\nA-1,amp,scratched\nA-2,amp,good\n"
    assert mapped(working)["Status"] == "works"
    assert "Condition" not in mapped(looks)


def test_a_heading_that_its_cells_contradict_gives_way():
    data = b"Tag,What,Checked\nA-1,amp,yes\nA-2,amp,no\nA-3,amp,by Jonah\n"
    assert "Checked" not in mapped(data)


def test_pieces_above_words_are_things_and_above_figures_a_count():
    things = b"Asset;Piece;Built\n1;Harbour 50;1961\n2;Long Eight;1958\n"
    counted = b"Tag,What,Pieces\nA-1,amp,1\nA-2,amp,2\nA-3,amp,1\n"
    assert mapped(things)["Piece"] == "design"
    assert mapped(counted)["Pieces"] == "count"
    assert "Pieces" not in mapped(b"Tag,What,Pieces\nA-1,amp,head\nA-2,amp,head\nA-3,amp,lid\n")


def test_duplicate_headings_go_to_one_field_and_all_notes_to_notes():
    data = b"Tag,What,Notes,Notes,Serial,Serial\nA-1,amp,one,two,123,456\n"
    assert mapped(data) == {
        **{"Tag": "code", "What": "kind", "Notes": "notes", "Notes (D)": "notes"},
        "Serial": "serial",
    }


def test_the_proposal_is_a_plain_dict_by_position():
    assert propose(read_table(b"What,Foo,Tag\namp,x,A-1\n", name="x")) == {0: "kind", 2: "code"}
