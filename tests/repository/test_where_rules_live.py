"""Views translate, queries read, actions write, and a collection is always named."""

import ast
from functools import cache
from pathlib import Path

from django.apps import apps

from tests.repository import modules, shown, tree

TRANSLATORS = {"views", "urls", "filters", "admin", "middleware", "context", "look"}
WRITES = {"create", "bulk_create", "get_or_create", "update_or_create"}
LINES_OF_A_VIEW = 20


def _is_of(path: Path, kinds: set[str]) -> bool:
    return bool({path.stem, *(parent.name for parent in path.parents)} & kinds)


def _calls_below(node: ast.AST) -> list[ast.Call]:
    """The calls of one chain such as `A.objects.of(c).filter(d)`, outermost first."""
    found = []
    while isinstance(node, ast.Call | ast.Attribute):
        if isinstance(node, ast.Call):
            found.append(node)
            node = node.func
        else:
            node = node.value
    return found


def _chains(module: ast.Module) -> dict[ast.Attribute, list[ast.Call]]:
    """Every `Model.objects` with the longest chain of calls made on it."""
    chains: dict[ast.Attribute, list[ast.Call]] = {}
    for node in ast.walk(module):
        calls = _calls_below(node)
        start = calls[-1].func if calls else None
        while isinstance(start, ast.Attribute) and start.attr != "objects":
            start = start.value
        if isinstance(start, ast.Attribute) and len(calls) > len(chains.get(start, [])):
            chains[start] = calls
    return chains


@cache
def _relations() -> set[str]:
    """Names of foreign keys: who filters by a row holds one that was itself narrowed."""
    models = apps.get_app_config("collection").get_models()
    fields = [field for model in models for field in model._meta.get_fields()]
    return {field.name for field in fields if field.is_relation and field.concrete} | {"pk"}


def _narrows(call: ast.Call) -> bool:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else ""
    asked = [(keyword.arg or "").removesuffix("__in") for keyword in call.keywords]
    by_row = any(path.split("__")[-1].removesuffix("_id") in _relations() for path in asked)
    return name == "of" or name in WRITES or by_row


def _belongs_to_a_collection() -> set[str]:
    models = apps.get_app_config("collection").get_models()
    return {model.__name__ for model in models if hasattr(model.objects, "of")}


def test_no_view_form_or_template_tag_reads_the_database_by_itself():
    found = [
        shown(path, node.lineno)
        for path in modules("registry", "collection")
        if _is_of(path, TRANSLATORS)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute) and node.attr == "objects"
    ]
    assert not found


def test_rows_of_a_collection_are_never_read_without_naming_it():
    owned = _belongs_to_a_collection()
    assert {"Event", "Piece"} <= owned
    found = [
        shown(path, start.lineno)
        for path in modules("collection")
        for start, calls in _chains(tree(path)).items()
        if isinstance(start.value, ast.Name)
        and start.value.id in owned
        and not any(_narrows(call) for call in calls)
    ]
    assert not found


def test_the_reading_of_chains_can_fail():
    module = ast.parse("Piece.objects.filter(code=code).first()\nPiece.objects.of(c).get(code=x)")
    verdicts = [any(map(_narrows, calls)) for calls in _chains(module).values()]
    assert verdicts == [False, True]


def test_no_view_writes_by_itself():
    found = [
        shown(path, node.lineno)
        for path in modules("registry", "collection")
        if _is_of(path, {"views"})
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in {"save", "delete", "bulk_update", *WRITES}
    ]
    assert not found


def test_a_view_loads_calls_and_renders_in_few_lines():
    long = [
        shown(path, node.lineno)
        for path in modules("registry", "collection")
        if _is_of(path, {"views"})
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef)
        and (node.end_lineno or 0) - node.lineno + 1 > LINES_OF_A_VIEW
    ]
    assert not long
