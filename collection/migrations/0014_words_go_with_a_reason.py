"""Hang the trigger again: words go only where an entry says why, and nothing is replaced."""

from django.db import migrations

from collection.ledger import guard


def hang(apps, schema_editor):
    guard.hang(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("collection", "0013_cases_and_truck_doors")]
    operations = [migrations.RunPython(hang, migrations.RunPython.noop)]
