"""A collection leaves as one file and comes back to the same root, or not at all."""

import io
import json
import zipfile

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import models

from collection.catalogue.actions import add_circuit, add_photo, add_piece
from collection.catalogue.models import Circuit, Photo, Piece
from collection.catalogue.photo.keep import original_path, read_original
from collection.core import canonical, merkle
from collection.custody import actions as custody
from collection.custody.models import Incident
from collection.ledger import proof
from collection.ledger.actions import note
from collection.ledger.models import Event, State, Subject
from collection.ledger.redaction.actions import take_out_words
from collection.ledger.telling import Telling
from collection.papers.portable import loading, packing, reading, tables
from collection.papers.portable.layout import NotCarried
from registry import clock
from registry.access.models import Collection, Membership, Person
from tests.builders import a_collection, a_member
from tests.catalogue.photo_samples import drawn, saved
from tests.papers.portable_site import emptied

pytestmark = pytest.mark.django_db


@pytest.fixture
def who(settings, tmp_path, keeper):
    settings.PHOTOS = tmp_path / "photos"
    return {"collection": keeper.collection, "by": keeper}


@pytest.fixture
def full(who):
    """A collection with pieces, places, a photo, a theft, a tie between circuits, words gone."""
    one, other = (add_circuit(collection=who["collection"], name=n) for n in ("BR-12/B", "BR-12/C"))
    one.close_to.add(other)
    custody.add_place(**who, name="Bay 1", kind="room", code="P-001")
    custody.add_party(**who, name="The broker", email="b@gear.example", code="N-001")
    piece = add_piece(**who, code="A-007", kind="amplifier", circuit=one, value_minor=640000)
    add_piece(**who, code="A-008", kind="amplifier", twin=piece)
    custody.move(**who, code="A-007", to="P-001")
    photo = add_photo(**who, subject=piece.subject, data=saved(drawn(), "PNG"), view="front")
    incident = custody.report_theft(**who, pieces=["A-008"])
    Incident.objects.filter(pk=incident.pk).update(photos={"A-007": photo.pk})
    said = note(**who, subject="A-007", telling=Telling(words="sold by Ola", source_note="Ola"))
    take_out_words(event=said, by=who["by"], because="asked")
    note(**who, subject="A-007", telling=Telling(words="hums, ‘quietly’ \u2028 at 50 Hz"))
    return who["collection"]


def carried_out(collection, path, **how):
    with path.open("wb") as file:
        for _ in packing.pack(collection, file, now=clock.now(), by="ines", **how):
            pass
    return path


def taken_in(path, **how):
    with reading.opened(path) as carried:
        return loading.take_in(carried, **how)


def told(collection):
    """Everything that is carried, as it would be carried again."""
    rows = {
        tables.name_of(model): [tables.as_json(row) for row in tables.rows_of(model, collection)]
        for model in tables.carried()
    }
    entries = [
        (e.sequence, e.leaf, e.words, e.words_salt, e.source_note, e.facts, e.placed_us, e.earliest)
        for e in Event.objects.of(collection).order_by("sequence")
    ]
    states = sorted(
        (s.subject.code, json.dumps(s.detail, sort_keys=True), s.last_entry)
        for s in State.objects.of(collection).select_related("subject")
    )
    return rows, entries, states


# -- which tables ----------------------------------------------------------------------------
def test_every_model_is_carried_or_it_is_said_why_not():
    everything = [
        model
        for label in ("access", "collection")
        for model in apps.get_app_config(label).get_models(include_auto_created=True)
    ]
    labels = {model._meta.label for model in everything}
    carried = {model._meta.label for model in tables.carried()}
    listed = tables.BOOK | tables.DERIVED | tables.LEFT.keys()
    assert labels == carried | listed
    assert not carried & listed
    for model in tables.carried():
        assert tables.path_to_collection(model), "say in LEFT why it stays"


def test_what_is_carried_points_only_at_what_is_carried():
    there = {*tables.carried(), Collection}
    outward = [
        f"{model.__name__}.{field.name}"
        for model in tables.carried()
        for field in model._meta.concrete_fields
        if field.related_model and field.related_model not in there
    ]
    assert not outward, "a key into a table that stays behind cannot be carried"


def test_every_key_is_counted_so_that_it_can_be_moved():
    for model in tables.carried():
        root = tables.auto_keyed(model)
        assert root is Collection or isinstance(root._meta.pk, models.AutoField), model


def test_a_model_that_leads_to_no_collection_is_refused():
    with pytest.raises(LookupError, match="Town"):
        tables.path_to_collection(apps.get_model("collection.Town"))


# -- there and back --------------------------------------------------------------------------
def test_it_comes_back_to_the_same_root_counts_and_photos(full, tmp_path):
    Collection.objects.filter(pk=full.pk).update(currency="GBP")
    full.refresh_from_db()
    before, root, book = told(full), proof.root_of(full), full.book
    named = tables.as_json(full)
    path = carried_out(full, tmp_path / "gear.zip")
    hashes = list(Photo.objects.of(full).values_list("sha256", flat=True))
    emptied(full)
    done = taken_in(path)
    assert (done.entries, done.root) == root
    assert proof.verify(done.collection).fits
    assert tables.as_json(done.collection) == named
    assert told(done.collection) == before
    assert all(read_original(loading.photos.settings.PHOTOS, book, one) for one in hashes)
    assert done.photos == len(hashes) == 1


def test_beside_another_collection_keys_move_and_nothing_else_changes(full, tmp_path):
    path = carried_out(full, tmp_path / "gear.zip")
    root = proof.root_of(full)
    emptied(full)
    other = a_member(a_collection(), role="keeper")
    for code in ("X-1", "X-2", "X-3"):
        piece = add_piece(collection=other.collection, by=other, code=code, kind="other")
    data = saved(drawn(), "JPEG")
    add_photo(collection=other.collection, by=other, subject=piece.subject, data=data)
    kept = proof.root_of(other.collection)
    done = taken_in(path)
    assert (done.entries, done.root) == root
    assert proof.root_of(other.collection) == kept
    assert proof.verify(other.collection).fits
    own = Piece.objects.of(done.collection)
    assert own.get(code="A-008").twin == own.get(code="A-007")
    (tied,) = Circuit.objects.of(done.collection).get(name="BR-12/B").close_to.all()
    assert tied.collection == done.collection
    photo = Photo.objects.of(done.collection).get()
    assert Incident.objects.of(done.collection).get().photos == {"A-007": photo.pk}
    assert photo.subject.code == "A-007"


def test_writing_goes_on_where_it_was_taken_in(full, tmp_path):
    path = carried_out(full, tmp_path / "gear.zip")
    emptied(full)
    done = taken_in(path)
    keeper = Membership.objects.of(done.collection).get()
    piece = add_piece(collection=done.collection, by=keeper, code="A-900", kind="amplifier")
    assert Subject.objects.get(code="A-900").pk == piece.pk
    assert proof.verify(done.collection).fits


def test_members_come_by_their_code_without_passwords_or_addresses(full, keeper, tmp_path):
    Person.objects.filter(pk=keeper.person_id).update(email="ines@gear.example")
    path = carried_out(full, tmp_path / "gear.zip")
    assert b"ines@gear.example" not in b"".join(unpacked(path).values())
    code = keeper.code
    emptied(full)
    done = taken_in(path)
    member = Membership.objects.of(done.collection).get()
    assert (member.code, member.role) == (code, "keeper")
    assert not member.person.has_usable_password()
    assert member.person.username != code  # that one is somebody who is here already


def test_addresses_go_where_they_were_chosen(full, keeper, tmp_path):
    Person.objects.filter(pk=keeper.person_id).update(email="ines@gear.example")
    path = carried_out(full, tmp_path / "gear.zip", with_addresses=True)
    assert b"ines@gear.example" in unpacked(path)["members.jsonl"]


def test_words_that_were_taken_out_are_not_carried(full, tmp_path):
    assert b"Ola" not in b"".join(unpacked(carried_out(full, tmp_path / "gear.zip")).values())


def test_where_it_is_already_it_is_refused_and_nothing_touched(full, tmp_path):
    path, before = carried_out(full, tmp_path / "gear.zip"), told(full)
    with pytest.raises(NotCarried, match="here already"):
        taken_in(path)
    assert told(full) == before


def test_another_address_can_be_chosen_where_its_own_is_taken(full, tmp_path):
    path, slug = carried_out(full, tmp_path / "gear.zip"), full.slug
    emptied(full)
    a_collection(slug=slug)
    with pytest.raises(NotCarried, match="--address"):
        taken_in(path)
    assert taken_in(path, address="other").collection.slug == "other"


# -- damaged files ---------------------------------------------------------------------------
def unpacked(path):
    with zipfile.ZipFile(path) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def packed(path, files):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for name, data in files.items():
            out.writestr(name, data)
    return path


@pytest.fixture
def file(full, tmp_path):
    """The file, with its collection gone from this site."""
    path = carried_out(full, tmp_path / "gear.zip")
    emptied(full)
    return path


def refused(path, said):
    before = Collection.objects.count(), Subject.objects.count(), Event.objects.count()
    with pytest.raises(NotCarried, match=said):
        taken_in(path)
    assert (Collection.objects.count(), Subject.objects.count(), Event.objects.count()) == before


@pytest.mark.parametrize(
    "name", ["book.jsonl", "tables/piece.jsonl", "README.txt", "members.jsonl"]
)
def test_one_changed_byte_of_a_file_is_named(file, name):
    files = unpacked(file)
    files[name] = files[name][:40] + bytes([files[name][40] ^ 1]) + files[name][41:]
    refused(packed(file, files), f"{name} is damaged")


def test_one_changed_byte_of_the_zip_itself_is_found(file):
    data = bytearray(file.read_bytes())
    with zipfile.ZipFile(file) as there:
        info = there.getinfo("book.jsonl")
        data[info.header_offset + 30 + len(info.filename) + 60] ^= 1
    file.write_bytes(data)
    refused(file, "book.jsonl")


def test_a_photo_with_other_bytes_is_named(file):
    files = unpacked(file)
    (name,) = [one for one in files if one.startswith("photos/")]
    files[name] = files[name][:-1] + b"x"
    refused(packed(file, files), f"{name} is damaged")


@pytest.mark.parametrize("kept", [0.2, 0.9, 0.999])
def test_a_file_cut_short_is_refused(file, kept):
    data = file.read_bytes()
    file.write_bytes(data[: int(len(data) * kept)])
    refused(file, "no zip file, or its end is missing")


def test_what_is_no_zip_or_not_there_is_refused(tmp_path, who):
    other = tmp_path / "list.zip"
    other.write_text("Code,What\n")
    refused(other, "no zip file")
    refused(tmp_path / "none.zip", "There is no file")
    refused(packed(other, {"README.txt": b"x"}), "never finished")
    refused(packed(other, {"manifest.json": b"{"}), "no JSON")
    refused(packed(other, {"manifest.json": b"{}"}), "this site takes")


def forged(file, change):
    """A file with everything hashed anew after a change, as somebody could who meant it."""
    files = unpacked(file)
    manifest = json.loads(files.pop("manifest.json"))
    change(files, manifest)
    for one in manifest["files"]:
        if one["name"] in files:
            data = files[one["name"]]
            one |= {"bytes": len(data), "sha256": layout_digest(data)}
    return packed(file, files | {"manifest.json": json.dumps(manifest).encode()})


def layout_digest(data):
    return reading.hashlib.sha256(data).hexdigest()


def lines(change):
    """Change the lines of the book."""

    def changed(files, manifest):
        rows = files["book.jsonl"].splitlines(keepends=True)
        files["book.jsonl"] = b"".join(change(rows))

    return changed


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda rows: [rows[0], *rows[2:]], "entry 1: it stands in another place"),
        (lambda rows: [rows[0], rows[2], rows[1], *rows[3:]], "entry 1: it stands"),
        (lambda rows: [rows[0], rows[0], *rows[1:]], "entry 1: it stands"),
        (lambda rows: rows[:-1], "entries, the manifest says"),
        (lambda rows: [*rows[:-1], rows[-1].replace(b"hums", b"purr")], "words are not the ones"),
        (lambda rows: [rows[0].replace(b'"kind":"', b'"kind":"x'), *rows[1:]], "fit its leaf"),
        (lambda rows: [rows[0].replace(b'"salt"', b'"slat"'), *rows[1:]], "cannot be read"),
        (lambda rows: [b"[]\n", *rows[1:]], "no JSON object"),
    ],
    ids=["dropped", "swapped", "inserted", "cut", "words", "contents", "key", "shape"],
)
def test_an_entry_changed_in_a_file_hashed_anew_is_named(file, change, said):
    refused(forged(file, lines(change)), said)


def swap_root(files, manifest):
    manifest["book"]["root"] = "ab" * 32


def strange_table(files, manifest):
    files["tables/spell.jsonl"] = b""
    manifest["files"].append({"name": "tables/spell.jsonl", "rows": 0})
    manifest["files"][-1] |= {"bytes": 0, "sha256": ""}


def strange_column(files, manifest):
    files["tables/piece.jsonl"] = files["tables/piece.jsonl"].replace(b'"serial"', b'"cereal"')


def foreign_key(files, manifest):
    rows = [json.loads(row) for row in files["tables/piece.jsonl"].splitlines()]
    rows[0]["twin"] = -1
    files["tables/piece.jsonl"] = b"".join(json.dumps(row).encode() + b"\n" for row in rows)


def dangling_key(files, manifest):
    rows = [json.loads(row) for row in files["tables/piece.jsonl"].splitlines()]
    rows[0]["twin"] = 999_999
    files["tables/piece.jsonl"] = b"".join(json.dumps(row).encode() + b"\n" for row in rows)


def bad_date(files, manifest):
    files["tables/photo.jsonl"] = files["tables/photo.jsonl"].replace(
        b'"added_at":"2', b'"added_at":"x'
    )


def less(files, manifest):
    files["tables/piece.jsonl"] = files["tables/piece.jsonl"].splitlines(keepends=True)[0]


def no_count(files, manifest):
    for one in manifest["files"]:
        one.pop("rows", None)


def no_zone(files, manifest):
    manifest["collection"]["zone"] = "Nowhere/Land"


def nobody(files, manifest):
    files["members.jsonl"] = files["members.jsonl"].replace(b'"role":"keeper"', b'"role":"king"')


def key_in_json_is_text(files, manifest):
    files["tables/incident.jsonl"] = files["tables/incident.jsonl"].replace(
        b'"photos":{"A-007":', b'"photos":{"A-007":"x","A-008":'
    )


def key_in_json_is_foreign(files, manifest):
    files["tables/incident.jsonl"] = files["tables/incident.jsonl"].replace(
        b'"photos":{"A-007":', b'"photos":{"A-007":-4,"A-008":'
    )


def words_quietly_gone(files, manifest):
    rows = [json.loads(row) for row in files["book.jsonl"].splitlines()]
    rows[-1] |= {"words": "", "source_note": "", "words_salt": ""}
    files["book.jsonl"] = b"".join(json.dumps(row).encode() + b"\n" for row in rows)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (swap_root, "do not lead to the root"),
        (strange_table, "newer version"),
        (strange_column, "tables/piece.jsonl, line 1: 'cereal' is no column"),
        (foreign_key, "tables/piece.jsonl, line 1: 'twin' is -1, no key"),
        (dangling_key, "do not fit together"),
        (bad_date, "tables/photo.jsonl, line 1: 'added_at'"),
        (less, "not as many as the manifest says"),
        (no_count, "lacks something"),
        (no_zone, "Nowhere/Land"),
        (nobody, "king"),
        (key_in_json_is_text, "'photos' is 'x', no key"),
        (key_in_json_is_foreign, "'photos' is -4, no key"),
        (words_quietly_gone, "no entry says that they were taken out"),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_a_file_that_was_meant_to_mislead_is_refused(file, change, said):
    refused(forged(file, change), said)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("happened", "not a date"),
        ("happened", 7),
        ("recorded_at", "2026-99-99T99:99:99.000000Z"),
        ("subject", ["A-007"]),
        ("kind", "conjured"),
        ("kind", None),
        ("facts_version", 99),
        ("certainty", None),
        ("corrects", "first"),
        ("answers", 2**53 - 1),
        ("recorded_by", "x" * 4000),
    ],
)
def test_an_entry_that_no_book_can_hold_is_refused_though_every_hash_fits(file, key, value):
    def conjure(files, manifest):
        rows = [json.loads(row) for row in files["book.jsonl"].splitlines()]
        rows[-1]["content"][key] = value
        rows[-1]["leaf"] = merkle.leaf_hash(canonical.leaf_content(rows[-1]["content"])).hex()
        files["book.jsonl"] = b"".join(json.dumps(row).encode() + b"\n" for row in rows)
        manifest["book"]["root"] = merkle.root([bytes.fromhex(row["leaf"]) for row in rows]).hex()

    with pytest.raises(NotCarried):
        taken_in(forged(file, conjure))
    assert not Collection.objects.exists()


# -- files made to harm ----------------------------------------------------------------------
@pytest.mark.parametrize(
    "name",
    ["../../etc/passwd", "/etc/passwd", "photos/../x", "tables\\piece.jsonl", "photos/AB", "a.py",
     "tables/piece.jsonl/", "C:/x"],
)  # fmt: skip
def test_a_name_that_is_none_of_ours_is_refused(file, name):
    refused(packed(file, unpacked(file) | {name: b"x"}), "no name of a file")


def test_a_file_that_unpacks_without_end_is_refused(file):
    bomb = b"0" * (reading.UNASKED + 300 * 100_000)
    refused(packed(file, unpacked(file) | {"tables/x.jsonl": bomb}), "too many")


def test_a_link_is_refused(file):
    with zipfile.ZipFile(file, "a") as out:
        info = zipfile.ZipInfo("tables/x.jsonl")
        info.external_attr = 0o120777 << 16
        out.writestr(info, "/etc/passwd")
    refused(file, "encrypted or a link")


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_name_that_is_there_twice_is_refused(file):
    with zipfile.ZipFile(file, "a") as out:
        out.writestr("book.jsonl", b"{}")
    refused(file, "there twice")


def test_what_the_manifest_does_not_list_is_refused_and_what_lacks_too(file):
    files = unpacked(file)
    refused(packed(file, files | {"tables/x.jsonl": b""}), "does not list it")
    del files["members.jsonl"]
    refused(packed(file, files), "members.jsonl is listed")


# -- commands and the page -------------------------------------------------------------------
def test_the_commands_carry_out_and_in(full, tmp_path, capsys):
    path, slug = tmp_path / "gear.zip", full.slug
    call_command("carry_out", str(path), collection=slug)
    assert path.stat().st_mode & 0o077 == 0
    with pytest.raises(CommandError, match="there already"):
        call_command("carry_out", str(path), collection=slug)
    emptied(full)
    call_command("carry_in", str(path))
    assert "as it left" in capsys.readouterr().out
    with pytest.raises(CommandError, match=r"Nothing was taken in\. This collection is here"):
        call_command("carry_in", str(path))


def test_a_photo_that_is_gone_stops_it_unless_it_is_left_out_knowingly(full, tmp_path, settings):
    (photo,) = Photo.objects.of(full)
    original_path(settings.PHOTOS, full.book, photo.sha256).write_bytes(b"other")
    path = tmp_path / "gear.zip"
    with pytest.raises(CommandError, match=photo.sha256):
        call_command("carry_out", str(path), collection=full.slug)
    assert not list(tmp_path.glob("*gear.zip*"))
    call_command("carry_out", str(path), collection=full.slug, without_lost=True)
    emptied(full)
    assert taken_in(path).photos_left_out == (photo.sha256,)


def test_a_keeper_carries_it_out_on_a_page(full, keeper_client, technician_client, tmp_path):
    page = f"/{full.slug}/papers/carry-out/"
    assert technician_client.get(page).status_code == 403
    assert b"1, the originals" in keeper_client.get(page).content
    answer = keeper_client.post(page)
    data = b"".join(answer.streaming_content)
    assert answer["Content-Type"] == "application/zip"
    path = tmp_path / "page.zip"
    path.write_bytes(data)
    root = proof.root_of(full)
    emptied(full)
    done = taken_in(path)
    assert (done.entries, done.root) == root


def test_the_page_says_which_photos_are_gone(full, keeper_client, settings):
    (photo,) = Photo.objects.of(full)
    original_path(settings.PHOTOS, full.book, photo.sha256).unlink()
    page = f"/{full.slug}/papers/carry-out/"
    assert photo.sha256.encode() in keeper_client.get(page).content
    assert keeper_client.post(page).status_code == 422
    data = b"".join(keeper_client.post(page, {"without_lost": "on"}).streaming_content)
    with zipfile.ZipFile(io.BytesIO(data)) as there:
        assert json.loads(there.read("manifest.json"))["photos_left_out"] == [photo.sha256]


def test_rows_are_read_without_asking_row_by_row(full, tmp_path, django_assert_max_num_queries):
    most = len(tables.carried()) + 15
    with django_assert_max_num_queries(most):
        carried_out(full, tmp_path / "gear.zip")
