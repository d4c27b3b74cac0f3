"""The invented inventory as pieces in the register, by the command."""

import json
from collections import Counter
from io import StringIO
from time import process_time

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.catalogue.actions import add_piece
from collection.catalogue.models import ImportRun, Maker, Piece
from collection.custody.actions import add_place
from collection.custody.models import Party, Place
from collection.ledger import proof
from collection.ledger.models import Event, State
from registry.access.models import Collection
from tests.catalogue.spreadsheet_samples import INVENTORY

FILE = str(INVENTORY / "inventory-messy.csv")
EXPECTED = json.loads((INVENTORY / "inventory-messy.expected.json").read_text("utf-8"))

pytestmark = pytest.mark.django_db


def told(*words: str, file: str = FILE) -> dict:
    out = StringIO()
    call_command("import_inventory", file, "--json", *words, stdout=out)
    return json.loads(out.getvalue())


def written(tmp_path, text: str) -> str:
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def state(collection: Collection, code: str) -> State:
    return State.objects.of(collection).select_related("place", "holder").get(subject__code=code)


def test_the_messy_inventory_goes_in_with_its_faults_named(collection):
    """Expected figures and rows come from the fixture beside the file."""
    said = told()
    assert said["pieces"] == EXPECTED["pieces"] == Piece.objects.of(collection).count()
    assert [row["row"] for row in said["refused_rows"]] == [
        row["row"] for row in EXPECTED["refused_rows"]
    ]
    assert {(cell["column"], cell["text"]) for cell in said["cells_not_taken"]} == {
        (cell["column"], cell["text"]) for cell in EXPECTED["cells_not_taken"]
    }
    assert len(said["cells_not_taken"]) == 12
    assert set(said["cells_not_taken"][0]) == {"row", "column", "text", "reason"}


def test_a_cell_not_taken_is_named_by_the_row_of_its_piece(collection):
    rows = {cell["row"]: cell["text"] for cell in told()["cells_not_taken"]}
    for cell in EXPECTED["cells_not_taken"]:
        piece = Piece.objects.of(collection).get(code=cell["tag"])
        assert f"{cell['column']}: {cell['text']}" in piece.notes
        note = Event.objects.of(collection).get(subject=piece.subject, kind="described").source_note
        row = int(note.removeprefix("inventory-messy.csv, row "))
        assert rows[row] == cell["text"]


def test_a_second_run_adds_nothing(collection):
    told()
    size = Event.objects.of(collection).count()
    again = told()
    assert (again["pieces"], again["already_in"], len(again["refused_rows"])) == (0, 120, 9)
    assert Event.objects.of(collection).count() == size
    assert Piece.objects.of(collection).count() == 120


def test_the_book_fits_after_an_import(collection):
    told()
    verdict = proof.verify(collection)
    assert verdict.fits, verdict.misfits
    assert verdict.size > 400


def test_works_is_told_and_never_proof(collection):
    told()
    held = State.objects.of(collection).filter(subject__kind="piece")
    assert Counter(held.values_list("told_works", flat=True))["yes"] > 20
    assert not held.exclude(powered_on=None, played_hot_on=None, bench_checked_on=None).exists()
    entry = Event.objects.of(collection).get(subject__code="E-001", kind="told_working")
    assert entry.facts == {"works": "yes", "told_words": "ok Aug 25"}
    assert (entry.happened, entry.source) == ("2025-08", "document")


def test_words_of_danger_propose_a_tag_and_hang_none(collection):
    told()
    proposals = Event.objects.of(collection).filter(kind="tagged_out")
    assert proposals.count() == Piece.objects.of(collection).filter(notes__contains="hot").count()
    assert proposals.count() > 5
    assert all(event.facts["proposed"] for event in proposals)
    assert not State.objects.of(collection).filter(tagged_out=True).exists()


def test_places_written_in_several_ways_are_one_place(collection):
    told()
    kinds = dict(Place.objects.of(collection).values_list("name", "kind"))
    assert kinds == {
        "Warehouse bay 1": "site",
        "Carlisle Warehouse, Bay 3": "site",
        "Case 9": "case",
        "Case 07": "case",
        "House": "house",
        "House (music room)": "house",
        "Truck A": "truck",
        "TOUR": "truck",
        "At repairer": "workshop",
    }
    codes = set(Place.objects.of(collection).values_list("code", flat=True))
    assert {"CASE-07", "CASE-09", "TRUCK-A"} <= codes
    private = Place.objects.of(collection).filter(private=True)
    assert set(private.values_list("kind", flat=True)) == {"house"}


def test_a_piece_is_put_where_the_list_says_on_the_day_it_says(collection):
    told()
    held = state(collection, "A-001")
    assert Place.objects.of(collection).get(code=held.place.code).name == "House (music room)"
    assert Party.objects.of(collection).get(code=held.holder.code).name == "J. Rae"
    moved = Event.objects.of(collection).get(subject__code="A-001", kind="moved")
    assert (moved.happened, moved.source) == ("2025-08-14", "document")
    assert moved.source_note == "inventory-messy.csv, row 2"


def test_a_place_that_is_there_is_not_made_again(collection, keeper, tmp_path):
    site = add_place(collection=collection, by=keeper, name="Carlisle warehouse", kind="site")
    bay = add_place(collection=collection, by=keeper, name="Bay 3", kind="room", inside=site)
    case = add_place(collection=collection, by=keeper, name="Amps", kind="case", code="CASE-07")
    told(
        file=written(
            tmp_path, "Code,What,Where\nA-1,amp,case 7\nA-2,amp,carlisle Warehouse bay 3\n"
        )
    )
    assert state(collection, "A-1").place.code == case.code
    assert state(collection, "A-2").place.code == bay.code
    assert Place.objects.of(collection).count() == 3


def test_two_places_of_one_name_are_not_guessed_between(collection, keeper, tmp_path):
    for name in ("North", "South"):
        site = add_place(collection=collection, by=keeper, name=name, kind="site")
        add_place(collection=collection, by=keeper, name="Bay 1", kind="room", inside=site)
    told(file=written(tmp_path, "Code,What,Where\nA-1,amp,Bay 1\nA-2,amp,North Bay 1\n"))
    assert state(collection, "A-1").place.code == "P-005"
    assert state(collection, "A-2").place.code == "P-002"


def test_who_has_a_piece_is_kept_when_no_place_is_written(collection, tmp_path):
    told(file=written(tmp_path, "Code,What,Where,Who has it\nA-1,amp,,Jonah Rae\nA-2,amp,bay 1,\n"))
    held = state(collection, "A-1")
    place = Place.objects.of(collection).get(code=held.place.code)
    assert (place.name, place.private) == ("With Jonah Rae", True)
    assert held.holder is not None


def test_a_code_that_names_another_piece_is_refused_and_not_overwritten(collection, keeper):
    maker = Maker.objects.create(collection=collection, name="Corrie")
    add_piece(collection=collection, by=keeper, code="A-001", kind="instrument", maker=maker)
    said = told()
    assert said["pieces"] == 119
    assert {"row": 2, "reason": "code A-001 already names something else in the collection"} in (
        said["refused_rows"]
    )
    assert Piece.objects.of(collection).get(code="A-001").maker == maker


def test_codes_of_another_collection_do_not_matter(collection, other_collection):
    words = ("--collection", other_collection.slug)
    assert told(*words)["pieces"] == told("--collection", collection.slug)["pieces"] == 120


def test_a_place_never_takes_a_code_that_a_row_has_claimed(collection, tmp_path):
    text = (
        "Code,What,Where,Who has it\nP-001,amp,Bay 1,Jonah\nN-001,amp,Case 4,Jonah\nCASE-04,amp,,\n"
    )
    assert told(file=written(tmp_path, text))["pieces"] == 3
    assert Piece.objects.of(collection).filter(code__in=["P-001", "N-001", "CASE-04"]).count() == 3
    assert Place.objects.of(collection).count() == 2


def test_a_value_without_a_currency_is_in_the_collections_own(collection, tmp_path):
    told(file=written(tmp_path, "Code,What,Value\nA-1,amp,1200\nA-2,amp,£80\n"))
    values = Piece.objects.of(collection).values_list("code", "value_minor", "value_currency")
    assert set(values) == {("A-1", 120000, "EUR"), ("A-2", 8000, "GBP")}
    assert Event.objects.of(collection).filter(kind="valued").count() == 2


def test_create_makes_the_collection_once(db, tmp_path):
    assert told("--create", "--collection", "mirren")["pieces"] == 120
    assert told("--create", "--collection", "mirren")["already_in"] == 120
    assert Collection.objects.filter(slug="mirren").count() == 1


def test_the_file_is_let_go_when_the_run_is_done(collection):
    told()
    run = ImportRun.objects.of(collection).get()
    assert (bytes(run.data), run.status, len(run.sha256)) == (b"", "done", 64)


def test_without_json_the_summary_names_every_row_and_cell(collection):
    out = StringIO()
    call_command("import_inventory", FILE, stdout=out)
    for row in EXPECTED["refused_rows"]:
        assert f"row {row['row']}: " in out.getvalue()
    for cell in EXPECTED["cells_not_taken"]:
        assert repr(cell["text"]) in out.getvalue()


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["nowhere.csv"], "nowhere.csv cannot be read"),
        ([FILE], "Say which with --collection"),
        ([FILE, "--collection", "no-such"], "--create makes it"),
        ([str(INVENTORY)], "cannot be read"),
        ([FILE, "--collection", "link", "--create"], "address of another page"),
    ],
)
def test_what_cannot_be_done_is_said_in_a_sentence(collection, other_collection, words, reason):
    with pytest.raises(CommandError, match=reason):
        call_command("import_inventory", *words)
    assert not ImportRun.objects.of(collection).exists()


def test_a_file_that_cannot_be_read_leaves_no_collection_behind(db, tmp_path):
    picture = tmp_path / "list.csv"
    picture.write_bytes(b"\x89PNG\r\n")
    with pytest.raises(CommandError, match="picture"):
        call_command("import_inventory", str(picture), "--create", "--collection", "mirren")
    assert not Collection.objects.exists()


def test_a_row_more_costs_no_query_of_its_own(collection, tmp_path):
    """Beside the batches that SQLite's limit of parameters cuts a bulk insert into."""

    def queries(rows: range) -> int:
        lines = [f"A-{n},amp,Corrie,Bay 1,Jonah,yes,2025-01-{n % 27 + 1:02}" for n in rows]
        text = "\n".join(["Code,What,Maker,Where,Who has it,Works?,Last checked", *lines])
        with CaptureQueriesContext(connection) as captured:
            assert told(file=written(tmp_path, text))["pieces"] == len(rows)
        return len(captured)

    queries(range(100, 102))
    few, many = queries(range(200, 202)), queries(range(300, 400))
    assert few < 40
    assert many - few < 20


def test_the_inventory_goes_in_within_seconds_of_processor_time(collection):
    started = process_time()
    told()
    assert process_time() - started < 5
