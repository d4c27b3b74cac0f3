"""What the site says of time agrees with the site's clock, which a demo may set."""

from django.apps import apps
from django.db.models import DateField

MOMENTS = [
    field
    for model in apps.get_app_config("collection").get_models()
    for field in model._meta.get_fields()
    if isinstance(field, DateField)
]


def test_no_moment_of_the_collection_is_taken_from_the_machine():
    by_machine = [str(field) for field in MOMENTS if field.auto_now or field.auto_now_add]
    assert MOMENTS
    assert not by_machine
