"""Whom a finder of a labelled piece rings."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("access", "0003_links_to_a_truck_door"),
    ]

    operations = [
        migrations.AddField(
            model_name="collection",
            name="finder_contact",
            field=models.CharField(
                blank=True,
                max_length=120,
                verbose_name="whom a finder rings: a role, never a name",
            ),
        ),
    ]
