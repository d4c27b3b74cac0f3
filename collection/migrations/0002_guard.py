"""Hang the trigger that keeps every entry as it was written."""

from django.db import migrations

from collection.ledger import guard


def hang(apps, schema_editor):
    guard.hang(schema_editor.connection)


def lift(apps, schema_editor):
    guard.lift(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("collection", "0001_first")]
    operations = [migrations.RunPython(hang, lift)]
