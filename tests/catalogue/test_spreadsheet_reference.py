"""The invented messy inventory goes in with every fault named."""

import csv
import io
import json

import pytest

from tests.catalogue.spreadsheet_samples import INVENTORY, planned

DATA = (INVENTORY / "inventory-messy.csv").read_bytes()
EXPECTED = json.loads((INVENTORY / "inventory-messy.expected.json").read_text("utf-8"))


def test_the_messy_inventory_gives_120_pieces():
    """Expected figures come from the fixture beside the file."""
    assert len(planned(DATA).pieces) == EXPECTED["pieces"] == 120


def test_each_broken_row_is_refused_by_its_number():
    found = [refused.row for refused in planned(DATA).refused_rows]
    assert found == [refused["row"] for refused in EXPECTED["refused_rows"]]


def test_each_broken_row_says_what_is_wrong_with_it():
    reasons = {refused.row: refused.reason for refused in planned(DATA).refused_rows}
    words = {
        13: "nothing says what this is",
        28: "nothing says what this is",
        35: "already used in this file by another piece, in row 23",
        46: "already used in this file by another piece, in row 11",
        51: "not a code",
        53: "more cells than columns",
        85: "fewer cells than columns",
        89: "serial number too long",
        104: "control character",
    }
    assert {row: words[row] in reason for row, reason in reasons.items()} == dict.fromkeys(
        words, True
    )


def test_each_unreadable_cell_is_named_and_no_other():
    found = {(cell.code, cell.column, cell.text) for cell in planned(DATA).cells_not_taken}
    expected = {(cell["tag"], cell["column"], cell["text"]) for cell in EXPECTED["cells_not_taken"]}
    assert found == expected
    assert len(planned(DATA).cells_not_taken) == 12


def test_the_text_of_an_unreadable_cell_is_kept_in_the_notes():
    result = planned(DATA)
    pieces = {piece.code: piece for piece in result.pieces}
    for cell in result.cells_not_taken:
        assert f"{cell.column}: {cell.text}" in pieces[cell.code].notes_with_kept


def test_a_second_run_adds_nothing_by_fingerprint_or_by_identity():
    first = planned(DATA)
    for held in ("fingerprint", "identity"):
        taken = {piece.code: getattr(piece, held) for piece in first.pieces}
        again = planned(DATA, taken=taken)
        assert again.pieces == ()
        assert len(again.already_in) == 120
        assert len(again.refused_rows) == 9


def test_the_words_of_the_inventory_are_read_as_they_were_meant():
    pieces = {piece.code: piece for piece in planned(DATA).pieces}
    assert (pieces["A-001"].kind, pieces["A-001"].family) == ("amplifier", "head")
    assert pieces["A-001"].year == "1958/1960"
    assert pieces["M-001"].year == "1960/1963"
    assert pieces["M-001"].checked == "2025-08-14"
    assert (pieces["E-002"].value_minor, pieces["E-002"].currency) == (325000, "GBP")
    assert pieces["E-001"].serial == ""
    assert pieces["G-001"].serial == "11?86"
    told = pieces["E-001"].told
    assert told is not None
    assert (told.says, told.words, told.on) == ("works", "ok Aug 25", "2025-08")
    assert pieces["G-002"].notes == "=SUM(A1:A9)"
    assert pieces["E-003"].notes == "Größe passt, Çok iyi"


def test_only_the_rows_that_smell_hot_are_proposed_for_a_tag_out():
    pieces = planned(DATA).pieces
    tagged = {piece.code for piece in pieces if piece.tag_out}
    assert tagged == {piece.code for piece in pieces if "smells hot" in piece.notes}
    assert len(tagged) > 5
    assert next(p for p in pieces if p.code == "G-001").tag_out.words == ("smells hot", "don't use")


ENGLISH = (
    "Asset No,Category,Brand,Model Name,Built,Schematic,S/N,Colour,Stored,Held by,Working (y/n),"
    "Last inspection,Insurance (GBP),Mass in kilos,Modifications,Comments"
).split(",")
GERMAN = (
    "Inv.-Nr.,Art,Marke,Typ,Baujahr,Schaltung,Seriennr.,Farbe,Standort,Wer hat es?,Funktion,"
    "Geprüft am,Wert GBP,Gewicht kg,Umbau,Notiz"
).split(",")


def rewritten(*, headings: list[str], delimiter: str, encoding: str) -> bytes:
    """The same inventory as another program would have saved it."""
    rows = list(csv.reader(io.StringIO(DATA.decode("utf-8-sig"), newline="")))
    stream = io.StringIO()
    csv.writer(stream, delimiter=delimiter).writerows([headings, *rows[1:]])
    return stream.getvalue().encode(encoding)


@pytest.mark.parametrize("headings", [ENGLISH, GERMAN])
@pytest.mark.parametrize(
    ("delimiter", "encoding"), [(";", "cp1252"), ("\t", "utf-16"), ("|", "mac_roman")]
)
def test_the_same_inventory_saved_otherwise_gives_the_same_pieces(headings, delimiter, encoding):
    result = planned(rewritten(headings=headings, delimiter=delimiter, encoding=encoding))
    original = planned(DATA)
    assert [piece.fingerprint for piece in result.pieces] == [
        piece.fingerprint for piece in original.pieces
    ]
    assert [piece.year for piece in result.pieces] == [piece.year for piece in original.pieces]
    assert [row.row for row in result.refused_rows] == [row.row for row in original.refused_rows]
    assert [(cell.row, cell.text, cell.reason) for cell in result.cells_not_taken] == [
        (cell.row, cell.text, cell.reason) for cell in original.cells_not_taken
    ]
