import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Where a part came from, which piece an original belongs to, hours on that were no show."""

    dependencies = [("collection", "0006_jobs_and_service_plans")]

    operations = [
        migrations.AddField(
            model_name="part",
            name="heater_before",
            field=models.DecimalField(
                decimal_places=1,
                default=0,
                max_digits=8,
                verbose_name="heater hours it brought along",
            ),
        ),
        migrations.AddField(
            model_name="part",
            name="origin",
            field=models.CharField(
                choices=[
                    ("lot", "from a lot"),
                    ("bought", "Bought"),
                    ("donor", "out of a donor"),
                    ("came", "came with a piece"),
                    ("unknown", "nobody knows"),
                ],
                default="lot",
                max_length=8,
            ),
        ),
        migrations.AddField(
            model_name="part",
            name="belongs_to",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="own_parts",
                to="collection.subject",
            ),
        ),
        migrations.CreateModel(
            name="Session",
            fields=[
                (
                    "subject",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        primary_key=True,
                        related_name="session",
                        serialize=False,
                        to="collection.subject",
                    ),
                ),
                ("code", models.CharField(max_length=40)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("rehearsal", "Rehearsal"),
                            ("bench", "bench session"),
                            ("left-on", "left on"),
                        ],
                        max_length=10,
                    ),
                ),
                ("on", models.DateField()),
                (
                    "collection",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="access.collection",
                    ),
                ),
            ],
            options={"ordering": ["-on", "-code"]},
        ),
    ]
