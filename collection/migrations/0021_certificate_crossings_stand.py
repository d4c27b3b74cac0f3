from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("collection", "0020_theft_file")]

    operations = [
        migrations.RemoveField(model_name="certificatecrossing", name="put_right_how"),
        migrations.RemoveField(model_name="certificatecrossing", name="put_right_on"),
    ]
