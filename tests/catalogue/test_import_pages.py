"""Bringing a list in by the pages, with the mistakes people make on the way."""

import csv
import io
import json
import re
from unittest.mock import patch

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from collection.catalogue.actions import add_piece
from collection.catalogue.models import ImportRun, Piece
from collection.catalogue.spreadsheet.cells import CONTROL
from collection.custody.importing import actions, queries, views
from collection.custody.importing.mending import WHY, harmless, mended_file
from collection.ledger.models import Event
from tests.catalogue.spreadsheet_samples import INVENTORY

DATA = (INVENTORY / "inventory-messy.csv").read_bytes()
EXPECTED = json.loads((INVENTORY / "inventory-messy.expected.json").read_text("utf-8"))
SMALL = b"Code,What,Maker,Serial no.,Where,Bought for\nA-1,amp,Corrie,77,Bay 1,=1+1\n"


def address(collection, name: str, *run: int) -> str:
    return reverse(f"importing:{name}", args=[collection.slug, *run])


def sent(client, collection, data: bytes = DATA, name: str = "inventory-messy.csv") -> ImportRun:
    """A file sent by the form; the run that it began."""
    file = SimpleUploadedFile(name, data)
    answer = client.post(address(collection, "start"), {"file": file})
    assert answer.status_code == 302, answer.context["form"].errors
    return ImportRun.objects.of(collection).latest("pk")


def chosen(run: ImportRun, **changes: str) -> dict[str, str]:
    """What the form of columns would send, with changes by heading."""
    table = queries.table_of(run)
    said = {f"column-{i}": run.mapping.get(str(i), "") for i in range(len(table.headings))}
    return said | {f"column-{table.headings.index(h)}": field for h, field in changes.items()}


def page(client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_list_goes_in_by_four_pages(technician_client, collection, technician):
    run = sent(technician_client, collection)
    columns = page(technician_client, address(collection, "columns", run.pk))
    assert "Circuit/wiring" in columns
    assert "early 60s" in columns
    preview = address(collection, "preview", run.pk)
    answer = technician_client.post(address(collection, "columns", run.pk), chosen(run))
    assert answer.headers["Location"] == preview
    seen = page(technician_client, preview)
    assert "Bring in 120 pieces" in seen
    assert not Piece.objects.of(collection).exists()
    assert not Event.objects.of(collection).exists()
    technician_client.post(preview)
    assert Piece.objects.of(collection).count() == 120
    assert Event.objects.of(collection).latest("sequence").recorded_by == technician.code


def test_the_preview_and_the_result_list_every_row_and_cell_not_taken(
    technician_client, collection
):
    run = sent(technician_client, collection)
    for name in ("preview", "done"):
        text = page(technician_client, address(collection, name, run.pk))
        for row in EXPECTED["refused_rows"]:
            assert f">row {row['row']}<" in text
        for cell in EXPECTED["cells_not_taken"]:
            assert f"“{cell['text']}”" in text
        technician_client.post(address(collection, "preview", run.pk))


def test_the_result_leads_to_the_tags_that_wait(technician_client, collection):
    run = sent(technician_client, collection)
    technician_client.post(address(collection, "preview", run.pk))
    text = page(technician_client, address(collection, "done", run.pk))
    assert reverse("bench:proposed_tags", args=[collection.slug]) in text
    tagged = re.findall(r"/pieces/([A-Z]-\d+)/", text)
    assert set(tagged) == set(
        Piece.objects.of(collection).filter(notes__contains="smells").values_list("code", flat=True)
    )


def test_a_wrong_column_can_be_put_right_and_nothing_is_lost(technician_client, collection):
    run = sent(technician_client, collection, SMALL)
    columns = address(collection, "columns", run.pk)
    technician_client.post(columns, chosen(run, **{"Serial no.": "finish", "Bought for": "notes"}))
    assert 'value="finish" selected' in page(technician_client, columns)
    run.refresh_from_db()
    technician_client.post(columns, chosen(run, **{"Serial no.": "serial", "Bought for": ""}))
    technician_client.post(address(collection, "preview", run.pk))
    piece = Piece.objects.of(collection).get()
    assert (piece.serial, piece.finish, piece.notes) == ("77", "", "Bought for: =1+1")


def test_one_field_from_two_columns_is_refused_beside_the_second(technician_client, collection):
    run = sent(technician_client, collection, SMALL)
    path = address(collection, "columns", run.pk)
    answer = technician_client.post(path, chosen(run, **{"Where": "serial", "What": ""}))
    form = answer.context["form"]
    assert form.errors == {"column-4": ["'Serial no.' is chosen as 'serial number' already."]}
    assert form["column-1"].value() == ""
    run.refresh_from_db()
    assert run.mapping["4"] == "place"


def test_notes_may_come_from_several_columns(technician_client, collection):
    run = sent(technician_client, collection, SMALL)
    changes = {"Where": "notes", "Bought for": "notes"}
    answer = technician_client.post(address(collection, "columns", run.pk), chosen(run, **changes))
    assert answer.status_code == 302


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"%PDF-1.7 x", "This is a PDF"),
        (b"\x89PNG\r\n", "This is a picture"),
        (b"  \n", "The file is empty"),
    ],
)
def test_a_wrong_file_is_refused_with_a_sentence(technician_client, collection, data, reason):
    file = SimpleUploadedFile("list.csv", data)
    answer = technician_client.post(address(collection, "start"), {"file": file})
    assert reason in answer.context["form"].errors["file"][0]
    assert not ImportRun.objects.of(collection).exists()


def test_what_was_pasted_stays_when_it_cannot_be_read(technician_client, collection):
    answer = technician_client.post(address(collection, "start"), {"pasted": "<html><b>x</b>"})
    assert "pasted" in answer.context["form"].errors
    assert "&lt;html&gt;&lt;b&gt;x&lt;/b&gt;" in answer.content.decode()


def test_rows_can_be_pasted(technician_client, collection):
    pasted = "Code\tWhat\nA-7\tamp\n"
    technician_client.post(address(collection, "start"), {"pasted": pasted})
    run = ImportRun.objects.of(collection).get()
    technician_client.post(address(collection, "preview", run.pk))
    assert Piece.objects.of(collection).get().code == "A-7"


def test_neither_file_nor_rows_is_said_beside_the_field(technician_client, collection):
    answer = technician_client.post(address(collection, "start"), {})
    assert answer.context["form"].errors["file"] == ["Choose a file, or paste the rows below."]


@pytest.mark.parametrize("name", ["start", "columns", "preview", "done", "refused", "discard"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_viewer_may_not_import(viewer_client, keeper, collection, name, method):
    run = actions.start(collection=collection, by=keeper, data=SMALL, name="list.csv")
    path = address(collection, name, *([] if name == "start" else [run.pk]))
    assert getattr(viewer_client, method)(path).status_code == 403
    assert not Piece.objects.of(collection).exists()


def test_pressed_twice_it_brings_in_once(technician_client, collection):
    run = sent(technician_client, collection)
    for _ in range(2):
        technician_client.post(address(collection, "preview", run.pk))
    assert Piece.objects.of(collection).count() == 120


def test_two_people_who_planned_the_same_list_bring_it_in_once(collection, keeper, technician):
    """Both saw the preview before either pressed."""
    planned = []
    for by in (keeper, technician):
        run = actions.start(collection=collection, by=by, data=DATA, name="list.csv")
        table = queries.table_of(run)
        today = run.added_at.date()
        planned.append((run, by, queries.plan_of(run, table, today=today), table))
    runs = [actions.bring_in(run=r, by=b, plan=p, table=t) for r, b, p, t in planned]
    assert [run.result["pieces"] for run in runs] == [120, 0]
    assert Piece.objects.of(collection).count() == 120


def test_a_code_that_was_given_away_meanwhile_is_refused_by_its_row(collection, keeper):
    run = actions.start(collection=collection, by=keeper, data=SMALL, name="list.csv")
    table = queries.table_of(run)
    plan = queries.plan_of(run, table, today=run.added_at.date())
    add_piece(collection=collection, by=keeper, code="A-1", kind="instrument")
    result = actions.bring_in(run=run, by=keeper, plan=plan, table=table).result
    assert result["pieces"] == 0
    assert [(row["row"], row["cells"][0]) for row in result["refused_rows"]] == [(2, "A-1")]
    assert "meanwhile" in result["refused_rows"][0]["reason"]


def test_a_row_without_a_code_takes_the_next_when_its_own_was_given_away(collection, keeper):
    data = b"What,Maker\namp,Corrie\namp,Pellow\n"
    run = actions.start(collection=collection, by=keeper, data=data, name="list.csv")
    table = queries.table_of(run)
    plan = queries.plan_of(run, table, today=run.added_at.date())
    add_piece(collection=collection, by=keeper, code="A-001", kind="amplifier")
    result = actions.bring_in(run=run, by=keeper, plan=plan, table=table).result
    assert (result["pieces"], result["refused_rows"]) == (2, [])
    codes = Piece.objects.of(collection).order_by("code").values_list("code", "maker__name")
    assert list(codes) == [("A-001", None), ("A-002", "Pellow"), ("A-003", "Corrie")]


def test_a_crash_leaves_whole_chunks_and_the_next_press_does_the_rest(
    technician_client, collection
):
    run = sent(technician_client, collection)
    preview, real, calls = address(collection, "preview", run.pk), actions.enter, []

    def failing(*args, **kwargs):
        calls.append(args)
        taken = real(*args, **kwargs)
        if len(calls) == 3:
            raise RuntimeError("the power went")
        return taken

    with patch.object(actions, "CHUNK", 50), patch.object(actions, "enter", failing):
        with pytest.raises(RuntimeError, match="power"):
            technician_client.post(preview)
        assert Piece.objects.of(collection).count() == 100
        assert "100 in so far" in page(technician_client, preview)
        technician_client.post(preview)
    run.refresh_from_db()
    assert Piece.objects.of(collection).count() == run.result["pieces"] == 120
    assert (run.status, run.result["already_in"]) == ("done", 0)
    assert len(run.result["cells_not_taken"]) == 12
    assert len(run.result["refused_rows"]) == 9


def test_a_long_list_goes_in_by_several_presses(technician_client, collection):
    run = sent(technician_client, collection)
    preview = address(collection, "preview", run.pk)
    with patch.object(views, "A_PRESS", 80):
        assert "Bring in the first 80" in page(technician_client, preview)
        technician_client.post(preview)
        assert "Bring in 40 pieces" in page(technician_client, preview)
        technician_client.post(preview)
    run.refresh_from_db()
    assert (run.result["pieces"], len(run.result["cells_not_taken"])) == (120, 12)


def test_a_forgotten_file_is_gone_but_never_what_it_brought_in(technician_client, collection):
    kept, unused = (sent(technician_client, collection, SMALL) for _ in range(2))
    technician_client.post(address(collection, "preview", kept.pk))
    for run in (kept, unused):
        technician_client.post(address(collection, "discard", run.pk))
    assert list(ImportRun.objects.of(collection)) == [kept]


def refused_file(client, collection, run) -> list[list[str]]:
    answer = client.get(address(collection, "refused", run.pk))
    assert "attachment" in answer.headers["Content-Disposition"]
    return list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"), newline="")))


def test_the_refused_rows_can_be_mended_and_brought_in(technician_client, collection):
    run = sent(technician_client, collection)
    technician_client.post(address(collection, "preview", run.pk))
    headings, *rows = refused_file(technician_client, collection, run)
    assert headings[:2] == [WHY, "Tag"]
    assert [row[0].split(":")[0] for row in rows] == [
        f"row {row['row']}" for row in EXPECTED["refused_rows"]
    ]
    mended = next(row for row in rows if row[0].startswith("row 51:"))
    mended[1] = "A-951"
    again = sent(
        technician_client, collection, mended_file(headings[1:], [(mended[0], mended[1:])])
    )
    technician_client.post(address(collection, "preview", again.pk))
    piece = Piece.objects.of(collection).get(code="A-951")
    assert (piece.design.name, piece.circuit.name) == ("Twenty-Two", "BR-12/C")
    assert WHY not in piece.notes


def test_refused_rows_that_nobody_mended_are_refused_again(technician_client, collection):
    """All but the one whose control character stands in the file as a visible sign."""
    run = sent(technician_client, collection)
    technician_client.post(address(collection, "preview", run.pk))
    file = technician_client.get(address(collection, "refused", run.pk)).content
    again = sent(technician_client, collection, file)
    technician_client.post(address(collection, "preview", again.pk))
    again.refresh_from_db()
    assert (len(again.result["refused_rows"]), again.result["pieces"]) == (8, 1)
    assert Piece.objects.of(collection).get(maker__name__contains="\ufffd").code == "A-804"


@pytest.mark.parametrize("cell", ["=SUM(A1)", "+cmd|' /C calc'!A0", "-2+3", "@x", "\t=1", " =1"])
def test_no_cell_of_the_file_is_a_formula(cell):
    """The beginnings that OWASP's page 'CSV Injection' names; from memory."""
    assert harmless(cell).startswith("'")


@pytest.mark.parametrize("cell", ["-4", "+3.50", "12,000", "A-1", "", "c. 1958"])
def test_a_plain_cell_of_the_file_stays_as_it_is(cell):
    assert harmless(cell) == cell


def test_a_control_character_of_the_file_becomes_visible():
    assert not CONTROL.search(harmless("a\x00b\x07"))


@pytest.mark.parametrize("rows", [2, 60])
def test_the_preview_asks_the_same_queries_for_any_number_of_rows(
    technician_client, collection, rows
):
    lines = "".join(f"A-{n},amp,Corrie,Bay {n}\n" for n in range(rows))
    data = f"Code,What,Maker,Where\n{lines}".encode()
    run = sent(technician_client, collection, data)
    with CaptureQueriesContext(connection) as captured:
        page(technician_client, address(collection, "preview", run.pk))
    assert len(captured) <= 16
