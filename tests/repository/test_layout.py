"""The shape of the project, and names that are never used."""

from tests.repository import ROOT, modules, shown

TOP = {
    ".ci", ".gitattributes", ".gitignore", "DEVELOPERS.md", "LICENSE", "Makefile", "README.md",
    "collection", "fixtures", "manage.py", "pyproject.toml", "registry",
    "requirements-dev.in", "requirements-dev.txt", "requirements-engines.in",
    "requirements-engines.txt", "requirements.in", "requirements.txt", "templates", "tests",
}  # fmt: skip
CAPABILITIES = {
    "core", "ledger", "catalogue", "custody", "stock", "bench", "road", "papers", "desk",
}  # fmt: skip
AROUND_THEM = {"management", "templatetags", "migrations", "static"}
SITE = {"access", "locale", "typesetting"}
SAYS_NOTHING = {"utils", "helpers", "common", "misc", "manager", "managers", "lib", "stuff"}


def _ignored() -> set[str]:
    lines = (ROOT / ".gitignore").read_text(encoding="utf-8").split()
    return {line.strip("/") for line in lines} | {".git", "__pycache__"}


def _packages(folder: str) -> set[str]:
    return {path.parent.name for path in (ROOT / folder).glob("*/__init__.py")}


def test_the_top_level_holds_what_it_always_holds():
    found = {path.name for path in ROOT.iterdir()} - _ignored()
    assert {name for name in found - TOP if not name.endswith((".pyc", ".egg-info"))} == set()


def test_the_domain_is_cut_into_its_capabilities_and_nothing_else():
    assert _packages("collection") - CAPABILITIES - AROUND_THEM == set()


def test_the_site_has_one_app_of_its_own():
    assert _packages("registry") - SITE == set()


def test_every_folder_of_modules_is_a_package():
    missing = {
        shown(path.parent)
        for path in modules("registry", "collection", "tests")
        if not (path.parent / "__init__.py").exists()
    }
    assert not missing


def test_no_module_has_a_name_that_says_nothing():
    named = list(modules("registry", "collection", "tests", "fixtures"))
    assert not [shown(path) for path in named if {path.stem, path.parent.name} & SAYS_NOTHING]


def test_every_module_says_what_it_is_for():
    silent = [
        shown(path)
        for path in modules("registry", "collection", "tests")
        if path.stat().st_size
        and not path.read_text(encoding="utf-8").lstrip().startswith(('"""', "#!", 'r"""'))
    ]
    assert not silent
