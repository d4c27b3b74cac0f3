"""Dependencies run one way: by import, and by foreign key."""

import pytest
from django.apps import apps
from importlinter.cli import lint_imports

from tests.repository import ROOT

LAYERS = ("access", "ledger", "catalogue", "custody", "stock", "bench", "road", "papers", "desk")


def _layer(model: type) -> str:
    return next(part for part in model.__module__.split(".") if part in LAYERS)


def _keys() -> list[tuple[str, str, str]]:
    found = []
    for label in ("access", "collection"):
        for model in apps.get_app_config(label).get_models(include_auto_created=True):
            for field in model._meta.get_fields():
                target = field.related_model if field.concrete else None
                if target and target._meta.app_label in ("access", "collection"):
                    where = f"{model.__name__}.{field.name}"
                    found.append((_layer(model), _layer(target), where))
    return found


@pytest.mark.slow
def test_imports_run_one_way(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    # The first argument names the file: without it an ini file found earlier would count.
    ended = lint_imports("pyproject.toml", no_cache=True, no_logo=True)
    assert ended == 0, capsys.readouterr().out


def test_no_foreign_key_points_to_a_higher_capability():
    upward = [
        (where, target)
        for origin, target, where in _keys()
        if LAYERS.index(target) > LAYERS.index(origin)
    ]
    assert not upward


def test_foreign_keys_are_seen_at_all():
    assert ("access", "access", "Membership.collection") in _keys()
