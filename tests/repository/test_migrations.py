"""One chain of migrations an app, and it says what the models say."""

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader


@pytest.mark.parametrize("app", ["access", "collection"])
def test_an_app_has_one_migration_leaf(app):
    leaves = MigrationLoader(None).graph.leaf_nodes(app)
    assert len(leaves) == 1


@pytest.mark.django_db
def test_no_model_waits_for_a_migration():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


@pytest.mark.django_db
def test_sqlite_writes_every_commit_to_the_disk():
    if connection.vendor != "sqlite":
        pytest.skip("an option of SQLite")
    # SQLite manual, 'PRAGMA synchronous': 2 is FULL; with 1 a power cut loses commits in WAL.
    with connection.cursor() as cursor:
        assert cursor.execute("PRAGMA synchronous").fetchone() == (2,)
