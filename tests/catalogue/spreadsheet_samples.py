"""Invented inventories as different hands would keep them, and a short way to plan one."""

from datetime import date, datetime
from io import BytesIO
from pathlib import Path

import openpyxl

from collection.catalogue.spreadsheet.columns import propose
from collection.catalogue.spreadsheet.plan import ImportPlan, plan
from collection.catalogue.spreadsheet.reading import read_table

TODAY = date(2026, 11, 24)
INVENTORY = Path(__file__).parents[2] / "fixtures" / "inventory"

GERMAN = """Inventarnummer;Gerät;Hersteller;Modell;Baujahr;Seriennummer;Farbe;Standort;Bei wem;\
Funktioniert;Zuletzt geprüft;Wert in €;Gewicht (kg);Umbauten;Bemerkungen
G-1;Gitarre;Tarn Valley;Meridian;um 1958;12345;rot;Lager Süd, Regal 3;Jonah;ja;14.08.2025;\
4.500,00 €;3,9;Mechaniken neu;schöner Ton
A-1;Verstärkertopteil;Holm Electric;Harbour 50;Anfang der 60er;ohne;;Köln;;nein;Aug 2025;12.000;\
22,5;;riecht verbrannt, nicht einschalten
E-1;Bandecho;Lindqvist;Bandsling;60er Jahre;;;;;defekt;32.13.2025;viel;-3;;
"""


def planned(data: bytes, *, taken: dict[str, str] | None = None) -> ImportPlan:
    """Read, map and plan in one go."""
    table = read_table(data, name="inventory")
    return plan(table, propose(table), today=TODAY, taken_codes=taken or {})


def mapped(data: bytes) -> dict[str, str]:
    """Label of each mapped column → its field."""
    table = read_table(data, name="inventory")
    return {table.label(index): field for index, field in propose(table).items()}


def workbook_bytes(book: openpyxl.Workbook) -> bytes:
    """The workbook as a file."""
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()


def titled_workbook() -> bytes:
    """A workbook with a title, dates, a shown currency, an error and a second sheet."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Gear"
    sheet["A1"] = "Mirren Vale: what we own"
    sheet.append([])
    sheet.append(
        ["ID", "Item", "Maker", "Model", "Year", "Last tested", "Insured value", "Works", "Wt"]
    )
    tested = datetime(2025, 8, 14)
    sheet.append([101, "Guitar", "Corrie", "Linnet", 1961.0, tested, 12000.0, True, 4.1])
    first = datetime(2025, 8, 1)
    made = datetime(1961, 1, 1)
    sheet.append([102, "Mic", "Fennimore", "R7", made, first, "#N/A", False, "heavy"])
    sheet["G4"].number_format = "[$€-407]#,##0.00"
    sheet["E5"].number_format = "yyyy"
    sheet["F5"].number_format = "mmm yy"
    book.create_sheet("Old").append(["x"])
    return workbook_bytes(book)
