"""Which tables are carried, found from the models, and the rows of one collection in each."""

import base64
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import models

from collection.papers.portable.layout import NotCarried
from registry.access.models import Collection

# Written in a file of its own.
BOOK = {"collection.Event"}
# Made again from the entries.
DERIVED = {"collection.Head", "collection.Mention", "collection.State", "collection.Branch"}
# Not the collection's, or nothing that another site may have.
LEFT = {
    "collection.Town": "the gazetteer, the same for all collections",
    "collection.Letter": "addresses, and what has been sent already",
    "collection.Enclosure": "goes with a letter",
    "access.Collection": "stands in the manifest",
    "access.Membership": "a file of its own, without who signs in",
    "access.Person": "passwords",
    "access.OneTimeLink": "opens the site",
    "collection.SharedPaper": "goes with a link without an account",
    "access.ShareLink": "opens something without an account",
    "access.ShareUse": "uses of such a link",
}
# JSON that holds keys of rows: table and column to the table the keys are of.
KEYS_IN_JSON = {("incident", "photos"): "photo"}
PLAIN = (str, int, float, bool, type(None), list, dict)


@cache
def carried() -> tuple[type[models.Model], ...]:
    """Every model whose rows are carried, the subjects first; a new model is found by itself."""
    found = [
        model
        for model in apps.get_app_config("collection").get_models(include_auto_created=True)
        if model._meta.label not in BOOK | DERIVED | LEFT.keys()
    ]
    return tuple(sorted(found, key=lambda model: (name_of(model) != "subject", name_of(model))))


def name_of(model: type[models.Model]) -> str:
    """The name of a table as the file has it."""
    return model._meta.model_name or ""


@cache
def path_to_collection(model: type[models.Model]) -> str:
    """The lookup that leads from a row to its collection; raises LookupError where none does."""
    tried, paths = {model}, [(model, "")]
    while paths:
        one, path = paths.pop(0)
        keys = [f for f in one._meta.concrete_fields if f.related_model and not f.null]
        for field in keys:
            if field.related_model is Collection:
                return f"{path}{field.name}"
        for field in keys:
            if field.related_model not in tried:
                tried.add(field.related_model)
                paths.append((field.related_model, f"{path}{field.name}__"))
    raise LookupError(f"{model._meta.label} leads to no collection; say in LEFT why it stays")


def rows_of(model: type[models.Model], collection: Collection) -> models.QuerySet:
    """The rows of one collection, in order of their keys."""
    return model._base_manager.filter(**{path_to_collection(model): collection}).order_by("pk")


def columns(model: type[models.Model]) -> list[models.Field]:
    """The columns that are carried: all but which collection it is of, or its own number."""
    every = model._meta.concrete_fields
    if model is Collection:
        return [field for field in every if not field.primary_key]
    return [field for field in every if field.related_model is not Collection]


def auto_keyed(model: type[models.Model]) -> type[models.Model]:
    """The model whose counter a row's key comes from: a piece has its subject's."""
    while (target := model._meta.pk.related_model) is not None:
        model = target
    return model


# -- one row ---------------------------------------------------------------------------------
def as_json(row: models.Model) -> dict[str, Any]:
    """A row by column, plain enough for JSON."""
    return {field.name: _plain(getattr(row, field.attname)) for field in columns(type(row))}


def _plain(value: Any) -> Any:
    if isinstance(value, bytes | memoryview | bytearray):
        return base64.b64encode(bytes(value)).decode()
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if not isinstance(value, PLAIN):
        raise TypeError(f"nobody has said how {type(value).__name__} is carried")
    return value


def from_json(
    model: type[models.Model], said: dict[str, Any], collection: Collection, moved: dict[str, int]
) -> models.Model:
    """A row again; `moved` is what is added to the keys of each table that counts its own.

    Raises NotCarried for columns that this version does not know, and for values that fit none.
    """
    known = {field.name: field for field in columns(model)}
    if unknown := sorted(said.keys() - known.keys()):
        raise NotCarried(f"'{unknown[0]}' is no column here: it was made by a newer version")
    values = {f.name: collection for f in model._meta.concrete_fields if f not in known.values()}
    for name, value in said.items():
        field = known[name]
        values[field.attname] = _value(model, field, value, moved)
    return model(**values)


def _value(
    model: type[models.Model], field: models.Field, value: Any, moved: dict[str, int]
) -> Any:
    if field.related_model is not None or field.primary_key:
        return _key(auto_keyed(field.related_model or model), field, value, moved)
    if target := KEYS_IN_JSON.get((name_of(model), field.name)):
        return _keys(field, value, moved[target])
    if isinstance(field, models.JSONField):
        return value
    try:
        return field.to_python(value)
    except (ValidationError, ValueError, TypeError) as error:
        raise NotCarried(f"'{field.name}' is {value!r:.60}") from error


def _keys(field: models.Field, value: Any, added: int) -> dict[str, int]:
    if not isinstance(value, dict):
        raise NotCarried(f"'{field.name}' is {value!r:.60}")
    return {name: _checked(field, key) + added for name, key in value.items()}


def _key(root: type[models.Model], field: models.Field, value: Any, moved: dict[str, int]) -> Any:
    if value is None and field.null:
        return None
    return _checked(field, value) + moved[name_of(root)]


def _checked(field: models.Field, value: Any) -> int:
    # Nought or less would reach into rows of another collection.
    if type(value) is not int or value < 1:
        raise NotCarried(f"'{field.name}' is {value!r:.60}, no key")
    return value


def keys_from(collection_tables: tuple[type[models.Model], ...]) -> Iterator[type[models.Model]]:
    """The models among these that count their own keys."""
    return (model for model in collection_tables if auto_keyed(model) is model)
