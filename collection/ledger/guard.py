"""A database trigger that lets nobody change or delete an entry, whatever the code says.

One thing it lets through: words, their salt and the note of the source may be taken out, all three
at once and never put back, where a `redacted` entry of the same book names the entry.
"""

from django.db.backends.base.base import BaseDatabaseWrapper

TABLE = "collection_event"
# Words may be taken out (their hash stays in the leaf); derived dates may be made again.
KEPT = [
    "id",
    "collection_id",
    "sequence",
    "subject_id",
    "kind",
    "facts",
    "facts_version",
    "names",
    "happened",
    "recorded_at",
    "written_at",
    "recorded_by",
    "source",
    "certainty",
    "corrects",
    "answers",
    "words_hash",
    "act",
    "once",
    "salt",
    "leaf",
]

SQLITE = {
    "entries_stay": f"BEFORE UPDATE OF {', '.join(KEPT)} ON {TABLE} "
    "BEGIN SELECT RAISE(ABORT, 'an entry of the book is never changed'); END",
    "entries_remain": f"BEFORE DELETE ON {TABLE} "
    "BEGIN SELECT RAISE(ABORT, 'an entry of the book is never deleted'); END",
    "words_only_go": f"BEFORE UPDATE OF words, words_salt, source_note ON {TABLE} "
    "WHEN NEW.words <> '' OR NEW.words_salt <> '' OR NEW.source_note <> '' "
    "BEGIN SELECT RAISE(ABORT, 'words of an entry may be taken out, not changed'); END",
    "words_go_with_a_reason": f"BEFORE UPDATE OF words, words_salt, source_note ON {TABLE} "
    f"WHEN NOT EXISTS (SELECT 1 FROM {TABLE} later WHERE later.kind = 'redacted' "
    "AND later.collection_id = OLD.collection_id AND later.sequence > OLD.sequence "
    "AND json_extract(later.facts, '$.entry') = OLD.sequence) "
    "BEGIN SELECT RAISE(ABORT, 'words of an entry are never taken out without an entry that says "
    "so'); END",
    # INSERT OR REPLACE deletes without firing a trigger of deletion (SQLite manual, 'ON CONFLICT').
    "entries_are_not_replaced": f"BEFORE INSERT ON {TABLE} "
    f"WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE collection_id = NEW.collection_id "
    f"AND sequence = NEW.sequence) OR EXISTS (SELECT 1 FROM {TABLE} WHERE id = NEW.id) "
    "BEGIN SELECT RAISE(ABORT, 'an entry of the book is never replaced'); END",
}
POSTGRESQL = ("entries_stay", "entries_not_emptied")
POSTGRESQL_FUNCTION = f"""
CREATE OR REPLACE FUNCTION registry_entries_stay() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP IN ('DELETE', 'TRUNCATE') THEN
    RAISE EXCEPTION 'an entry of the book is never deleted';
  END IF;
  IF ({", ".join(f"OLD.{c}" for c in KEPT)}) IS DISTINCT FROM
     ({", ".join(f"NEW.{c}" for c in KEPT)}) THEN
    RAISE EXCEPTION 'an entry of the book is never changed';
  END IF;
  IF (OLD.words, OLD.words_salt, OLD.source_note)
       IS DISTINCT FROM (NEW.words, NEW.words_salt, NEW.source_note)
     AND (NEW.words, NEW.words_salt, NEW.source_note) IS DISTINCT FROM ('', '', '') THEN
    RAISE EXCEPTION 'words of an entry may be taken out, not changed';
  END IF;
  IF (OLD.words, OLD.words_salt, OLD.source_note)
       IS DISTINCT FROM (NEW.words, NEW.words_salt, NEW.source_note)
     AND NOT EXISTS (SELECT 1 FROM {TABLE} later WHERE later.kind = 'redacted'
       AND later.collection_id = OLD.collection_id AND later.sequence > OLD.sequence
       AND later.facts ->> 'entry' = OLD.sequence::text) THEN
    RAISE EXCEPTION 'words of an entry are never taken out without an entry that says so';
  END IF;
  RETURN NEW;
END $$
"""


def hang(connection: BaseDatabaseWrapper) -> None:
    """Put the triggers in place; safe to call again."""
    lift(connection)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(POSTGRESQL_FUNCTION)
            cursor.execute(
                f"CREATE TRIGGER entries_stay BEFORE UPDATE OR DELETE ON {TABLE} "
                "FOR EACH ROW EXECUTE FUNCTION registry_entries_stay()"
            )
            cursor.execute(
                f"CREATE TRIGGER entries_not_emptied BEFORE TRUNCATE ON {TABLE} "
                "FOR EACH STATEMENT EXECUTE FUNCTION registry_entries_stay()"
            )
            return
        for name, body in SQLITE.items():
            cursor.execute(f"CREATE TRIGGER {name} {body}")


def lift(connection: BaseDatabaseWrapper) -> None:
    """Take the triggers away; for test set-up and table changes in migrations only."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            for name in POSTGRESQL:
                cursor.execute(f"DROP TRIGGER IF EXISTS {name} ON {TABLE}")
            return
        for name in SQLITE:
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")


def hung(connection: BaseDatabaseWrapper) -> bool:
    """Whether the triggers are in place."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT tgname FROM pg_trigger")
            return {name for (name,) in cursor.fetchall()} >= set(POSTGRESQL)
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return {name for (name,) in cursor.fetchall()} >= set(SQLITE)
