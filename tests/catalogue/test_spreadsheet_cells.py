"""One cell at a time: what it means, or why it means nothing."""

from decimal import Decimal

import pytest

from collection.catalogue.spreadsheet.amounts import (
    Money,
    commas_are_decimal,
    currency_in_heading,
    mass_unit_in_heading,
    read_mass,
    read_money,
)
from collection.catalogue.spreadsheet.cells import (
    control_character,
    folded_words,
    read_code,
    read_line,
    read_serial,
    said,
)
from collection.catalogue.spreadsheet.dates import months_come_first, read_date
from collection.catalogue.spreadsheet.kind_words import Kind, kind_within, read_kind
from collection.catalogue.spreadsheet.refusal import CellRefused, RowRefused
from collection.catalogue.spreadsheet.told_working import read_told, split_date
from tests.catalogue.spreadsheet_samples import TODAY


def dated(text: str, *, month_first: bool = False) -> str:
    return read_date(text, today=TODAY, month_first=month_first)


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        *(("1961", "1961"), ("1961?", "1961?"), ("about 1963", "1963~"), ("c. 1958", "1958~")),
        *(("1958-60", "1958/1960"), ("1938-41", "1938/1941"), ("1958–1960", "1958/1960")),
        *(("1961/62", "1961/1962"), ("'59", "1959"), ("’28", "1928"), ("early 60s", "1960/1963")),
        *(("before 1970", "../1970"), ("1960s", "196X"), ("Mar 1961", "1961-03")),
        *(("um 1958", "1958~"), ("ca. 1958", "1958~"), ("vor 1970", "../1970")),
        *(("60er Jahre", "196X"), ("1960er", "196X"), ("Anfang der 60er", "1960/1963")),
        *(("vers 1958", "1958~"), ("années 60", "196X"), ("jaren 60", "196X")),
        *(("omkring 1958", "1958~"), ("før 1970", "../1970"), ("1960-tallet", "196X")),
        *(("2025-08-14", "2025-08-14"), ("14/08/2025", "2025-08-14"), ("14.8.25", "2025-08-14")),
        *(("14.8.61", "1961-08-14"), ("Aug 2025", "2025-08"), ("Aug 25", "2025-08")),
        *(("14. August 2025", "2025-08-14"), ("14 août 2025", "2025-08-14")),
        ("2 mei 2025", "2025-05-02"),
        *(("August 14th, 2025", "2025-08-14"), ("08/2025", "2025-08")),
        *(("2025-08-14 09:30", "2025-08-14"), ("2025", "2025"), ("Mrz 2025", "2025-03")),
    ],
)
def test_dates_are_read_as_people_write_them(text, edtf):
    """EDTF forms after the specification of 4 February 2019; the reading is a house rule."""
    assert dated(text) == edtf


@pytest.mark.parametrize(
    ("text", "words"),
    [
        *(("2961", "between 1850 and 2026"), ("19585", "between 1850 and 2026")),
        *(("1849", "between 1850 and 2026"), ("1962-1958", "ends before it begins")),
        *(("31/02/2025", "no such day"), ("2025-13-01", "no month 13")),
        ("29.2.2025", "no such day"),
        *(("yesterday", "yesterday"), ("before the flood", "be read: write for")),
        *(("soon after the war", "be read: write for"), ("25.11.2026", "still to come")),
        ("2027", "between 1850 and 2026"),
        *(("1 Jan 1700", "between 1850"), ("x" * 999, "at most")),
    ],
)
def test_an_unreadable_or_implausible_date_says_why(text, words):
    with pytest.raises(CellRefused, match=words):
        dated(text)


def test_today_is_not_to_come():
    assert dated("24.11.2026") == "2026-11-24"


def test_a_column_is_month_first_only_when_it_must_be():
    assert months_come_first(["08/14/2025", "03/04/2025"])
    assert not months_come_first(["14/08/2025", "03/04/2025"])
    assert not months_come_first(["03/04/2025"])
    assert not months_come_first(["08/14/2025", "14/08/2025"])
    assert dated("03/04/2025", month_first=True) == "2025-03-04"


@pytest.mark.parametrize(
    ("text", "minor", "currency"),
    [
        *(("12,000", 1200000, "GBP"), ("12.000", 1200000, "GBP"), ("12 000", 1200000, "GBP")),
        ("1.234", 123400, "GBP"),
        *(("£3,250.00", 325000, "GBP"), ("4.500,00 €", 450000, "EUR"), ("9500", 950000, "GBP")),
        *(("€4500", 450000, "EUR"), ("EUR 1.234.567,89", 123456789, "EUR"), ("12,5", 1250, "GBP")),
        *(("1'234.50 CHF", 123450, "CHF"), ("45 000,- NOK", 4500000, "NOK")),
        ("12k", 1200000, "GBP"),
        *(("¥12,000", 12000, "JPY"), ("4.5k €", 450000, "EUR"), ("0", 0, "GBP")),
        *(("US$ 4,500", 450000, "USD"), ("3\u00a0250,50", 325050, "GBP")),
    ],
)
def test_money_is_read_with_its_own_currency_or_the_headings(text, minor, currency):
    """Minor units after ISO 4217 (yen: none), from memory."""
    assert read_money(text, currency="GBP") == Money(minor, currency)


def test_an_approximate_value_is_marked_so():
    assert read_money("ca. 4.000 €", currency="") == Money(400000, "EUR", approximate=True)


@pytest.mark.parametrize(
    "text",
    [
        *("lots", "1.2.3", "-4", "1,2,3", "12,00,000", "1.234,567", "4500 kr", "12 XYZ", "£5 €"),
        *("12345.678", "£", "", "12.5 JPY", "9" * 40, "1" * 5000, "£12 or 15", "12-15", "(500)"),
    ],
)
def test_what_is_no_amount_is_refused(text):
    with pytest.raises(CellRefused):
        read_money(text, currency="")


@pytest.mark.parametrize(
    ("heading", "currency"),
    [
        *(("Value £", "GBP"), ("Wert in €", "EUR"), ("Verdi (NOK)", "NOK"), ("Value", "")),
        *(("Insured value, USD", "USD"), ("Verdi kr", "")),
    ],
)
def test_a_heading_may_name_the_currency(heading, currency):
    assert currency_in_heading(heading) == currency


@pytest.mark.parametrize(
    ("text", "unit", "kilograms"),
    [
        *(("4.1", "kg", "4.1"), ("22", "", "22"), ("3,9", "kg", "3.9"), ("48 lb", "kg", "21.772")),
        *(("48", "lb", "21.772"), ("48 lb 6 oz", "", "21.943"), ("48lbs 6oz", "", "21.943")),
        *(("850 g", "kg", "0.85"), ("4.1kg", "lb", "4.1"), ("about 20 kg", "", "20")),
        *(("1 lb", "", "0.454"), ("1.234", "kg", "1.234")),
    ],
)
def test_a_weight_is_read_in_kilograms(text, unit, kilograms):
    """One pound is exactly 0.45359237 kg (NIST Handbook 44, Appendix C), from memory."""
    assert read_mass(text, unit=unit, comma_decimal=False) == Decimal(kilograms)


@pytest.mark.parametrize(
    "text", ["heavy", "-4", "0", "1,234", "4 kg 5 kg", "12 st", "9000", "1.2.3", "4 x 5", "1" * 999]
)
def test_what_is_no_weight_is_refused(text):
    with pytest.raises(CellRefused):
        read_mass(text, unit="kg", comma_decimal=False)


def test_a_column_that_writes_decimal_commas_settles_a_doubtful_one():
    assert commas_are_decimal(["3,9", "22"])
    assert not commas_are_decimal(["3,9", "4.1"])
    assert read_mass("1,234", unit="kg", comma_decimal=True) == Decimal("1.234")


def test_a_heading_may_name_the_unit_of_weight():
    assert [mass_unit_in_heading(text) for text in ("Weight kg", "Wt (lbs)", "Gewicht")] == [
        *("kg", "lb", ""),
    ]


@pytest.mark.parametrize(
    ("written", "code"),
    [
        *(("A-001", "A-001"), ("a-001", "A-001"), (" AMP 12 ", "AMP-12"), ("#A-7", "A-7")),
        *(("101", "NO-101"), ("007", "NO-007"), ("A.12", "A-12"), ("A1", "A1")),
        *(("none", ""), ("?", ""), ("tbc", ""), ("", ""), ("-", "")),
    ],
)
def test_a_code_is_brought_into_its_form(written, code):
    assert read_code(written) == code


@pytest.mark.parametrize(
    "written", ["A 0/1;--", "A 0/1", "see notes", "Ä-1", "A--1", "A-" + "1" * 60, "#REF!", "=A1"]
)
def test_what_is_not_a_code_refuses_the_row(written):
    with pytest.raises(RowRefused, match="is not a code"):
        read_code(written)


def test_a_serial_number_keeps_its_unreadable_characters():
    assert read_serial("11?86") == "11?86"
    assert read_serial("???") == "???"
    assert read_serial("04220") == "04220"
    assert read_serial("none") == read_serial("ohne") == ""
    with pytest.raises(RowRefused, match="too long: 3000 characters"):
        read_serial("9" * 3000)


def test_a_name_that_is_too_long_or_an_error_is_refused():
    assert read_line("  Holm \n Electric ", field="maker") == "Holm Electric"
    for text in ("x" * 81, "#N/A", "#WERT!"):
        with pytest.raises(CellRefused):
            read_line(text, field="maker")


def test_control_characters_are_found_and_line_ends_are_none():
    assert control_character("Bran\0noch") == "U+0000"
    assert control_character("a\x85b") == "U+0085"
    assert control_character("a\tb\r\nc é €") == ""


def test_places_match_across_case_space_and_comma_only():
    assert folded_words("Carlisle Warehouse, Bay 3") == folded_words(" carlisle  warehouse bay 3 ")
    assert folded_words("Carlisle Warehouse, Bay 3") != folded_words("warehouse bay 3")


def test_words_for_nothing_say_nothing():
    assert [said(text) for text in ("-", "n/a", "None", " \u00a0 ", "yes")] == [*[""] * 4, "yes"]


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        *(("AMP HEAD", ("amplifier", "head")), ("amp head", ("amplifier", "head"))),
        *(("Cab", ("cabinet", "")), ("cabinet", ("cabinet", "")), ("mic", ("microphone", ""))),
        *(("TAPE ECHO", ("effect", "tape echo")), ("Gitarre", ("instrument", "guitar"))),
        *(("Verstärker", ("amplifier", "")), ("écho à bande", ("effect", "tape echo"))),
        *(("Bändchenmikrofon", ("microphone", "ribbon")), ("Båndekko", ("effect", "tape echo"))),
        *(("guitars", ("instrument", "guitar")), ("Høyttaler", ("cabinet", ""))),
    ],
)
def test_kinds_are_known_in_several_spellings(words, kind):
    assert read_kind(words) == Kind(*kind)


def test_the_last_words_of_a_description_say_what_it_is():
    assert kind_within("Long Eight lap steel") == Kind("instrument", "lap steel")
    assert kind_within("Harbour 50 amp head") == Kind("amplifier", "head")
    assert kind_within("Harbour 50") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        *(("yes", "works"), ("Y", "works"), ("working", "works"), ("ok Aug 25", "works")),
        *(("ja", "works"), ("fully working", "works"), ("TRUE", "works"), ("works fine", "works")),
        *(("no", "does not work"), ("n", "does not work"), ("not working", "does not work")),
        *(("defekt", "does not work"), ("FALSE", "does not work"), ("dead", "does not work")),
        *(("en panne", "does not work"), ("needs caps", "unclear"), ("parts only", "unclear")),
        *(("yes but crackles", "unclear"), ("not tested", "unclear"), ("good", "unclear")),
    ],
)
def test_only_plain_words_say_whether_a_piece_works(text, says):
    told = read_told(text)
    assert (told.says, told.words) == (says, text)


def test_nothing_told_is_nothing():
    assert [read_told(text) for text in ("", " ", "-", "?")] == [None] * 4


def test_the_date_of_a_statement_is_split_off():
    assert split_date("ok Aug 25") == ("ok", "Aug 25")
    assert split_date("works (14.8.2025)")[1] == "14.8.2025"
    assert split_date("needs caps") == ("needs caps", "")
