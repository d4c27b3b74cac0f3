"""A database trigger that lets nobody change or delete an entry, whatever the code says."""

from django.db.backends.base.base import BaseDatabaseWrapper

TABLE = "collection_event"
# Words may be taken out (their hash stays in the leaf); derived dates may be made again.
KEPT = [
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
}
POSTGRESQL_FUNCTION = f"""
CREATE OR REPLACE FUNCTION registry_entries_stay() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'DELETE' THEN
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
            return
        for name, body in SQLITE.items():
            cursor.execute(f"CREATE TRIGGER {name} {body}")


def lift(connection: BaseDatabaseWrapper) -> None:
    """Take the triggers away; for test set-up and table changes in migrations only."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(f"DROP TRIGGER IF EXISTS entries_stay ON {TABLE}")
            return
        for name in SQLITE:
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")


def hung(connection: BaseDatabaseWrapper) -> bool:
    """Whether the triggers are in place."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT count(*) FROM pg_trigger WHERE tgname = 'entries_stay'")
            return bool(cursor.fetchone()[0] == 1)
        cursor.execute("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'")
        return bool(cursor.fetchone()[0] >= len(SQLITE))
