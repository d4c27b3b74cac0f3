"""A file is read by what it holds, whatever it is called and however it was saved."""

import io
import re
import zipfile
from datetime import datetime

import openpyxl
import pytest

from collection.catalogue.spreadsheet import table as limits
from collection.catalogue.spreadsheet.reading import TableRefused, read_table
from tests.catalogue.spreadsheet_samples import GERMAN, titled_workbook, workbook_bytes

# As openpyxl writes a formula without its result, with lxml and without it.
EMPTY_RESULT = re.compile(rb"</f><v ?(?:/>|></v>)")
PLAIN = "Tag,What,Notes\nA-1,amp,schöner Ton für Größe\nA-2,mic,né à Noël\n"


def cells(data: bytes, *, name: str = "inventory") -> list[tuple[str, ...]]:
    return [row.cells for row in read_table(data, name=name).rows]


@pytest.mark.parametrize(
    "encoding",
    [
        *("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"),
        *("cp1252", "latin-1", "mac_roman", "cp850", "cp437", "iso8859_15"),
    ],
)
def test_every_usual_encoding_gives_the_same_text(encoding):
    """The encoders of the standard library stand in for the programs that wrote such files."""
    found = read_table(PLAIN.encode(encoding), name="x.csv")
    assert found.headings == ("Tag", "What", "Notes")
    assert [row.cells[2] for row in found.rows] == ["schöner Ton für Größe", "né à Noël"]


@pytest.mark.parametrize(
    ("encoding", "text"),
    [
        ("cp1250", "Zesilovač žlutý, příliš těžký"),
        ("cp1251", "Усилитель старый"),
        ("cp1252", "£3,250 – the “Return Two”"),
        ("mac_roman", "£3,250 – the “Return Two”"),
        ("cp1252", "Værdi 4.500 kr, blå"),
    ],
)
def test_single_byte_writing_is_recognised(encoding, text):
    data = f"Tag;What;Notes\nA-1;amp;{text}\n".encode(encoding)
    assert read_table(data, name="x").rows[0].cells[2] == text


def test_a_stray_byte_does_not_spoil_a_unicode_file():
    good = "Tag,What,Notes\nA-1,amp,schöner Ton für große Säle\n".encode()
    found = cells(good + b"A-2,amp,\xa3300\n")
    assert [row[2] for row in found] == ["schöner Ton für große Säle", "£300"]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_every_usual_delimiter_is_found(delimiter):
    lines = [["Tag", "What", "Maker", "Value"], ["A-1", "amp", "Corrie", "4.500"]]
    text = "\r\n".join(delimiter.join(line) for line in lines)
    assert cells(text.encode()) == [("A-1", "amp", "Corrie", "4.500")]


def test_a_semicolon_in_the_notes_does_not_make_a_semicolon_file():
    data = b"Tag,What,Notes\nA-1,amp,refret; new nut; strings\nA-2,amp,a; b\n"
    assert cells(data)[0] == ("A-1", "amp", "refret; new nut; strings")


def test_a_decimal_comma_does_not_make_a_comma_file():
    data = b"Tag;Weight;Value\nA-1;3,9;4.500,00\nA-2;4,1;3.250,50\n"
    assert cells(data)[0] == ("A-1", "3,9", "4.500,00")


def test_a_line_that_announces_the_delimiter_is_not_a_row():
    found = read_table(b"sep=;\r\nTag;What\r\nA-1;amp\r\n", name="x")
    assert (found.heading_row, found.rows[0].number) == (1, 2)


def test_rows_are_numbered_as_a_spreadsheet_numbers_them():
    data = b'Tag,What,Notes\nA-1,amp,"one\ntwo\nthree"\n\nA-2,mic,x\n'
    found = read_table(data, name="x")
    assert [(row.number, row.cells[0] if row.cells else "") for row in found.rows] == [
        (2, "A-1"),
        (3, ""),
        (4, "A-2"),
    ]
    assert found.rows[0].cells[2] == "one\ntwo\nthree"


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_every_line_ending_ends_a_row(ending):
    assert len(cells(ending.join(["Tag,What", "A-1,amp", "A-2,mic", ""]).encode())) == 2


def test_a_quote_that_never_closes_swallows_no_row():
    data = b'Tag,What,Notes\nA-1,cab,12" speaker\nA-2,cab,"never closed\nA-3,cab,fine\n'
    assert [row[0] for row in cells(data)] == ["A-1", "A-2", "A-3"]


def test_title_rows_above_the_headings_are_set_aside_and_counted():
    data = b"What we own\n\nprinted 1 May\nTag,What,Maker\nA-1,amp,Corrie\n"
    found = read_table(data, name="x")
    assert (found.heading_row, found.rows[0].number) == (4, 5)
    assert [row.cells[0] for row in found.preface] == ["What we own", "printed 1 May"]


def test_a_table_without_headings_loses_no_row():
    found = read_table(b"A-1,guitar,Corrie,1961\nA-2,amp,Brannoch,1959\n", name="x")
    assert [row.number for row in found.rows] == [1, 2]
    assert found.label(2) == "Column C"


def test_headings_that_nobody_knows_are_still_headings():
    assert read_table(b"Foo,Bar\nred,blue\n", name="x").headings == ("Foo", "Bar")


def test_a_formula_in_text_stays_text():
    assert cells(b"Tag,What,Notes\nA-1,amp,=SUM(A1:A9)\n")[0][2] == "=SUM(A1:A9)"


# -- workbooks ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["gear.xlsx", "gear.csv", "gear"])
def test_a_workbook_is_known_by_its_content(name):
    found = read_table(titled_workbook(), name=name)
    assert (found.heading_row, found.rows[0].number) == (3, 4)
    assert found.preface[0].cells[0] == "Mirren Vale: what we own"


def test_text_called_xlsx_is_read_as_text():
    assert cells(GERMAN.encode("cp1252"), name="gear.xlsx")[0][7] == "Lager Süd, Regal 3"


def test_cells_of_a_workbook_are_shown_as_precisely_as_the_sheet_shows_them():
    first, second = cells(titled_workbook())
    assert first == (
        *("101", "Guitar", "Corrie", "Linnet", "1961", "2025-08-14", "€ 12000", "TRUE", "4.1"),
    )
    assert second == (
        *("102", "Mic", "Fennimore", "R7", "1961", "2025-08", "#N/A", "FALSE", "heavy"),
    )


def test_sheets_that_were_not_read_are_named():
    assert read_table(titled_workbook(), name="x").remarks[0] == (
        "Sheet 'Gear' was read; not read: 'Old'."
    )


def test_the_sheet_with_the_headings_is_read_even_when_it_comes_second():
    book = openpyxl.Workbook()
    book.active.append(["Please read me first"])
    sheet = book.create_sheet("Gear")
    sheet.append(["Tag", "What", "Maker"])
    sheet.append(["A-1", "amp", "Corrie"])
    assert cells(workbook_bytes(book)) == [("A-1", "amp", "Corrie")]


def test_numbers_and_times_of_a_workbook_are_rendered_without_noise():
    book = openpyxl.Workbook()
    book.active.append(["Tag", "What", "a", "b", "c", "d", "e"])
    book.active.append(["A-1", "amp", 0.1 + 0.2, 7, datetime(2025, 8, 14, 9, 30), 4220, 0.5])
    book.active["F2"].number_format = "00000"
    book.active["G2"].number_format = "0%"
    assert cells(workbook_bytes(book))[0][2:] == ("0.3", "7", "2025-08-14 09:30", "04220", "50%")


def test_a_formula_without_a_stored_result_is_kept_as_its_text():
    book = openpyxl.Workbook()
    book.active.append(["Tag", "What", "Notes"])
    book.active.append(["A-1", "amp", "=1+2"])
    assert cells(workbook_bytes(book))[0][2] == "=1+2"


def test_a_formula_with_a_stored_result_shows_the_result():
    book = openpyxl.Workbook()
    book.active.append(["Tag", "What", "Weight"])
    book.active.append(["A-1", "amp", "=20+2"])
    data = with_part_changed(
        workbook_bytes(book), "xl/worksheets/sheet1.xml", EMPTY_RESULT, b"</f><v>22</v>"
    )
    assert cells(data)[0][2] == "22"


def with_part_changed(data: bytes, part: str, old: re.Pattern[bytes], new: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(stream, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name == part:
                assert old.search(content)
                content = old.sub(new, content)
            target.writestr(name, content)
    return stream.getvalue()


# -- what is refused ---------------------------------------------------------------------------


def zipped(**members: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name.replace("__", "/"), content)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"\xef\xbb\xbf\r\n \r\n", "empty"),
        (b"\n,,,\n , ,\n", "every cell is empty"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "old .xls"),
        (b"%PDF-1.7 ...", "PDF"),
        (b"PK\x03\x04 broken", "damaged"),
        (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"<!DOCTYPE html><table><tr><td>A-1</td></tr></table>", "web page"),
        (bytes(range(256)) * 40, "not a text file"),
        (zipped(readme=b"hello"), "archive"),
        (
            zipped(mimetype=b"application/vnd.oasis.opendocument.spreadsheet", content=b"x"),
            "OpenDocument",
        ),
        (zipped(**{"xl__workbook.bin": b"x"}), "binary workbook"),
        (zipped(**{"xl__workbook.xml": b"<workbook/>"}), "damaged"),
        (zipped(**{"xl__workbook.xml": b'<!DOCTYPE x [<!ENTITY a "b">]><x/>'}), "declarations"),
    ],
)
def test_what_is_no_table_is_refused_with_a_sentence(data, words):
    with pytest.raises(TableRefused) as refused:
        read_table(data, name="gear.csv")
    assert words in refused.value.reason
    assert refused.value.reason.endswith(".")


def test_a_workbook_that_unpacks_into_too_much_is_refused_before_it_is_read():
    bomb = zipped(**{"xl__workbook.xml": b"<x/>", "xl__worksheets__sheet1.xml": b" " * 210_000_000})
    assert len(bomb) < 1_000_000
    with pytest.raises(TableRefused, match="unpacks into more"):
        read_table(bomb, name="x.xlsx")


def test_a_file_over_the_size_limit_is_refused():
    with pytest.raises(TableRefused, match="larger than 20 MB"):
        read_table(b"a" * (limits.MAX_BYTES + 1), name="x")


def test_too_many_columns_are_refused():
    data = ",".join(f"Column {n}" for n in range(limits.MAX_COLUMNS + 1)).encode()
    with pytest.raises(TableRefused, match="201 columns"):
        read_table(data, name="x")


def test_too_many_rows_are_refused():
    with pytest.raises(TableRefused, match="more than 50,000 rows"):
        read_table(b"Tag,What\n" + b"A,amp\n" * limits.MAX_ROWS, name="x")


def test_a_column_that_most_rows_fill_belongs_to_the_table_without_a_heading():
    found = read_table(b"Tag,What\nA-1,amp,red\nA-2,amp,blue\nA-3,amp\n", name="x")
    assert found.label(2) == "Column C"
    assert len(read_table(b"Tag,What\nA-1,amp,red\nA-2,amp\nA-3,amp\n", name="x").headings) == 2
