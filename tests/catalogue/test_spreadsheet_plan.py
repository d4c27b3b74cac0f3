"""Every row of a table ends up in exactly one place, with its reasons, and loses no text."""

import time
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.catalogue.spreadsheet.columns import FIELDS, propose
from collection.catalogue.spreadsheet.identity import identity
from collection.catalogue.spreadsheet.plan import plan
from collection.catalogue.spreadsheet.reading import TableRefused, read_table
from collection.catalogue.spreadsheet.table import Row, Table
from tests.catalogue.spreadsheet_samples import GERMAN, TODAY, planned, titled_workbook


def test_a_german_inventory_goes_in():
    result = planned(GERMAN.encode("cp1252"))
    guitar, head, echo = result.pieces
    assert (guitar.kind, guitar.family, guitar.year) == ("instrument", "guitar", "1958~")
    assert (guitar.value_minor, guitar.currency) == (450000, "EUR")
    assert (guitar.mass_kg, guitar.mass_grams) == (Decimal("3.9"), 3900)
    assert (guitar.place, guitar.place_key) == ("Lager Süd, Regal 3", "lager süd regal 3")
    assert head.value_minor == 1200000
    assert head.tag_out.words == ("riecht verbrannt", "nicht einschalten")
    assert echo.told.says == "does not work"
    assert [cell.column for cell in result.cells_not_taken] == [
        *("Zuletzt geprüft", "Wert in €", "Gewicht (kg)"),
    ]


def test_the_same_inventory_gives_the_same_pieces_in_any_encoding():
    expected = planned(GERMAN.encode("utf-8")).pieces
    for encoding in ("cp1252", "utf-16", "utf-8-sig", "mac_roman"):
        assert planned(GERMAN.encode(encoding)).pieces == expected


def test_a_tab_separated_utf_16_export_with_pounds_goes_in():
    text = (
        "Code\tType\tBrand\tModel\tYear\tWeight (lbs)\tValue\n"
        "A1\tamp\tBrannoch\tTwelve\t1961\t48\t$4,500\n"
        "A2\tamp\tBrannoch\tTwelve\t1961\t48 lb 6 oz\t4500 kr\n"
    )
    result = planned(text.encode("utf-16-le"))
    assert [piece.mass_kg for piece in result.pieces] == [Decimal("21.772"), Decimal("21.943")]
    assert (result.pieces[0].value_minor, result.pieces[0].currency) == (450000, "USD")
    assert [(cell.row, cell.text) for cell in result.cells_not_taken] == [(3, "4500 kr")]


def test_a_workbook_with_a_title_goes_in_under_its_own_row_numbers():
    result = planned(titled_workbook())
    assert [(p.row, p.code, p.year, p.checked) for p in result.pieces] == [
        (4, "NO-101", "1961", "2025-08-14"),
        (5, "NO-102", "1961", "2025-08"),
    ]
    assert [p.told.says for p in result.pieces] == ["works", "does not work"]
    assert (result.pieces[0].value_minor, result.pieces[0].currency) == (1200000, "EUR")
    assert [(c.row, c.column, c.text) for c in result.cells_not_taken] == [
        (5, "Insured value", "#N/A"),
        (5, "Wt", "heavy"),
    ]


def test_headings_that_nobody_knows_refuse_every_row_and_say_what_to_choose():
    data = b"Foo,Bar,Baz\n1,2,3\nred,blue,green\n"
    result = planned(data)
    assert [refused.row for refused in result.refused_rows] == [2, 3]
    assert any("choose one" in remark for remark in result.remarks)
    chosen = plan(read_table(data, name="x"), {1: "design"}, today=TODAY, taken_codes={})
    assert [piece.design for piece in chosen.pieces] == ["2", "blue"]
    assert chosen.pieces[1].notes_with_kept == "Foo: red\nBaz: green"


def test_a_headless_table_goes_in_from_row_one():
    result = planned(b"A-1,guitar,Corrie,1961\nA-2,amp,Brannoch,1959\n")
    assert [(p.row, p.code, p.kind, p.year) for p in result.pieces] == [
        (1, "A-1", "instrument", "1961"),
        (2, "A-2", "amplifier", "1959"),
    ]
    assert result.pieces[0].kept == ("Column C: Corrie",)


def test_rows_of_spaces_are_blank_and_counted():
    data = b"Tag,What,Notes\nA-1,amp,x\n  , ,\t\n,,\n\nA-2,mic,y\n"
    result = planned(data)
    assert result.blank_rows == (3, 4, 5)
    assert [piece.row for piece in result.pieces] == [2, 6]
    assert result.refused_rows == ()


def test_nothing_of_a_column_without_a_field_is_lost():
    data = b"Tag,What,Notes,Notes,Serial,Serial,Purchase price\nA-1,amp,one,two,123,456,200\n"
    piece = planned(data).pieces[0]
    assert (piece.serial, piece.notes) == ("123", "one")
    assert piece.kept == ("Notes (D): two", "Serial (F): 456", "Purchase price: 200")


def test_a_refused_row_lists_every_reason():
    data = b"Tag,What,Maker,Serial\nA-1,amp,Corrie,1\nA 0/1;--,,,%s,extra\n" % (b"9" * 99)
    (refused,) = planned(data).refused_rows
    assert refused.row == 3
    assert len(refused.reasons) == 4
    for words in ("more cells", "not a code", "too long", "nothing says"):
        assert words in refused.reason
    assert refused.text.endswith("extra")


def test_control_characters_are_not_passed_on_in_the_text_of_a_refused_row():
    (refused,) = planned(b"Tag,What,Maker\nA-1,amp,Cor\0rie\n").refused_rows
    assert "U+0000" in refused.reason
    assert refused.text == "A-1 | amp | Cor\ufffdrie"


def test_a_torn_row_is_refused_but_a_habit_of_short_rows_is_not():
    full = [f"A-{n},amp,Corrie,x" for n in range(10)]
    torn = "\n".join(["Tag,What,Maker,Notes", *full, "B-1,amp,Cor"])
    assert [r.row for r in planned(torn.encode()).refused_rows] == [12]
    ragged = "\n".join(["Tag,What,Maker,Notes", *full, *(f"B-{n},amp" for n in range(8))])
    result = planned(ragged.encode())
    assert (len(result.pieces), result.refused_rows) == (18, ())
    assert any("end early" in remark for remark in result.remarks)


def test_a_row_that_repeats_the_headings_is_refused_as_such():
    result = planned(b"Tag,What,Maker\nA-1,amp,Corrie\nTag,What,Maker\n")
    assert "repeats the headings" in result.refused_rows[0].reason


# -- codes and second runs ---------------------------------------------------------------------


def test_a_code_may_name_one_piece_only():
    data = b"Tag,What,Maker\nA-1,amp,Corrie\nA-1,amp,Brannoch\na-1,amp,Corrie\nA-1,amp,Corrie\n"
    result = planned(data)
    assert [piece.row for piece in result.pieces] == [2]
    assert [refused.row for refused in result.refused_rows] == [3, 4]
    assert [(same.row, same.reason) for same in result.already_in] == [(5, "the same as row 2")]


def test_a_code_that_already_names_another_piece_is_a_refused_row():
    data = b"Tag,What,Maker,Model,Serial\nA-1,amp,Corrie,Linnet,7\n"
    held = identity(kind="amplifier", maker="Brannoch", design="Twelve", serial="")
    assert "already names" in planned(data, taken={"A-1": held}).refused_rows[0].reason
    assert "already names" in planned(data, taken={"A-1": ""}).refused_rows[0].reason


def test_the_same_piece_entered_by_hand_is_already_in():
    data = b"Tag,What,Maker,Model,Serial\nA-1,amp,Corrie,Linnet,\n"
    held = identity(kind="amplifier", maker="CORRIE", design="linnet", serial="A77")
    result = planned(data, taken={"A-1": held})
    assert (result.pieces, result.refused_rows) == ((), ())
    assert [same.code for same in result.already_in] == ["A-1"]


def test_a_piece_renamed_since_is_known_by_its_row():
    data = b"Tag,What,Maker\nA-1,amp,Corrie\n"
    mark = planned(data).pieces[0].fingerprint
    held = f"{mark}\n{identity(kind='amplifier', maker='Brannoch', design='', serial='')}"
    assert len(planned(data, taken={"A-1": held}).already_in) == 1


def test_pieces_without_a_code_are_given_the_next_free_one_and_it_is_said():
    data = b"What,Maker\nguitar,Corrie\nmic,Fennimore\nmic,Fennimore\n"
    result = planned(data, taken={"G-006": ""})
    assert [piece.code for piece in result.pieces] == ["G-007", "M-001", "M-002"]
    assert all(piece.code_was_given for piece in result.pieces)
    assert "No column holds codes: every piece is given one." in result.remarks


def test_a_given_code_never_meets_one_that_stands_further_down():
    data = b"Tag,What\n,guitar\nG-001,guitar\n"
    assert [piece.code for piece in planned(data).pieces] == ["G-002", "G-001"]


def test_two_alike_rows_without_a_code_are_two_pieces_and_come_once():
    data = b"What,Maker\nmic,Fennimore\nmic,Fennimore\n"
    taken = {piece.code: piece.fingerprint for piece in planned(data).pieces}
    assert len(taken) == 2
    again = planned(data + b"mic,Fennimore\n", taken=taken)
    assert [same.row for same in again.already_in] == [2, 3]
    assert [(piece.row, piece.code) for piece in again.pieces] == [(4, "M-003")]


def test_a_field_that_does_not_exist_is_an_error_of_the_caller():
    table = read_table(b"Tag,What\nA-1,amp\n", name="x")
    with pytest.raises(ValueError, match="colour"):
        plan(table, {0: "colour"}, today=TODAY, taken_codes={})


# -- single columns that need their neighbours -------------------------------------------------


def test_the_currency_may_stand_in_a_column_of_its_own():
    data = b"Tag,What,Value,Currency\nA-1,amp,4500,NOK\nA-2,amp,4500,crowns\nA-3,amp,4500,\n"
    result = planned(data)
    assert [(p.value_minor, p.currency) for p in result.pieces] == [
        *((450000, "NOK"), (None, ""), (450000, "")),
    ]
    assert [(cell.row, cell.column) for cell in result.cells_not_taken] == [
        (3, "Currency"),
        (3, "Value"),
    ]


def test_a_row_that_stands_for_several_pieces_says_so():
    (cell,) = planned(b"Tag,What,Qty\nA-1,mic,2\nA-2,mic,1\n").cells_not_taken
    assert (cell.row, cell.column, cell.text) == (2, "Qty", "2")


def test_american_dates_are_read_when_the_column_shows_them():
    data = b"Tag,What,Last checked\nA-1,cab,08/14/2025\nA-2,cab,03/04/2025\n"
    assert [piece.checked for piece in planned(data).pieces] == ["2025-08-14", "2025-03-04"]


def test_an_unknown_word_for_the_kind_is_kept():
    piece = planned(b"Tag,What,Maker\nA-1,thunder sheet,Corrie\nA-2,amp,Corrie\n").pieces[0]
    assert (piece.kind, piece.kind_words) == ("other", "thunder sheet")
    assert piece.kept == ("What: thunder sheet",)


def test_a_smoky_finish_or_model_is_no_danger():
    data = b"Tag,What,Model,Finish,Notes\nA-1,amp,Smoke Signal,smoke burst,fine\n"
    assert planned(data).pieces[0].tag_out is None


# -- laws --------------------------------------------------------------------------------------

RAGGED = st.lists(
    st.lists(
        st.one_of(
            st.text(max_size=12),
            st.sampled_from(
                ["A-1", "A-2", "amp", "1961", "£3,250.00", "-4", "ok Aug 25", "31/02/2025", "", " "]
            ),
        ),
        max_size=9,
    ),
    max_size=12,
)
HEADINGS = ("Tag", "What", "Maker", "Yr", "Serial", "Works", "Last checked", "Value")


@given(rows=RAGGED, mapping=st.dictionaries(st.integers(0, 9), st.sampled_from(FIELDS)))
@settings(max_examples=150, deadline=None)
def test_any_cells_under_any_mapping_give_a_place_for_every_row(rows, mapping):
    numbered = tuple(Row(number, tuple(cells)) for number, cells in enumerate(rows, start=2))
    table = Table("x", HEADINGS, numbered, 1)
    result = plan(table, mapping, today=TODAY, taken_codes={"A-2": ""})
    placed = [
        *(piece.row for piece in result.pieces),
        *(refused.row for refused in result.refused_rows),
        *(same.row for same in result.already_in),
        *result.blank_rows,
    ]
    assert sorted(placed) == [row.number for row in numbered]
    codes = [piece.code for piece in result.pieces]
    assert len(codes) == len(set(codes))
    assert "A-2" not in codes


@given(rows=RAGGED)
@settings(max_examples=100, deadline=None)
def test_a_second_run_of_any_table_adds_nothing(rows):
    numbered = tuple(Row(number, tuple(cells)) for number, cells in enumerate(rows, start=2))
    table = Table("x", HEADINGS, numbered, 1)
    mapping = propose(table)
    first = plan(table, mapping, today=TODAY, taken_codes={})
    taken = {piece.code: piece.fingerprint for piece in first.pieces}
    again = plan(table, mapping, today=TODAY, taken_codes=taken)
    assert again.pieces == ()
    assert len(again.already_in) == len(first.pieces) + len(first.already_in)
    assert [r.row for r in again.refused_rows] == [r.row for r in first.refused_rows]


@given(data=st.binary(max_size=300))
@settings(max_examples=200, deadline=None)
def test_any_bytes_are_read_or_refused_with_a_sentence(data):
    sentence = "."
    try:
        planned(data)
    except TableRefused as refused:
        sentence = refused.reason
    assert sentence.endswith(".")


def test_five_thousand_rows_take_less_than_two_seconds():
    """Time of this process's own work, so that a busy machine does not fail it."""
    line = (
        "A-{0:05},amp head,Brannoch,Model {1},{2},{3},brown,Bay {1},J. Rae,ok Aug 25,"
        "{4}/08/2025,{3}.50,{4}.5,speaker swapped,note {0} smells hot — don't use"
    )
    lines = [line.format(n, n % 40, 1900 + n % 100, n * 7, n % 28 + 1) for n in range(5000)]
    heading = (
        "Tag,What,Maker,Model,Yr,Serial,Finish,Where,Holder,Works,Checked,Value £,Kg,Mods,Notes"
    )
    data = "\n".join([heading, *lines]).encode("cp1252")
    start = time.process_time()
    result = planned(data)
    assert time.process_time() - start < 2
    assert len(result.pieces) == 5000
    assert result.cells_not_taken == ()
    assert result.pieces[-1].checked == date(2025, 8, 16).isoformat()
