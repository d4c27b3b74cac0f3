"""Static files as a site for others serves them."""

import re

import pytest
from django.core.management import call_command
from django.test import override_settings

HASHED = re.compile(r"\.[0-9a-f]{12}\.\w+$")


@pytest.mark.slow
def test_every_static_file_is_collected_under_a_hashed_name(tmp_path):
    storages = {
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
        "staticfiles": {"BACKEND": "registry.static.HashedStorage"},
    }
    with override_settings(STATIC_ROOT=tmp_path, STORAGES=storages):
        call_command("collectstatic", interactive=False, verbosity=0)
    made = [path.name for path in tmp_path.rglob("*.css")]
    assert any(HASHED.search(name) for name in made)
    assert (tmp_path / "staticfiles.json").exists()


def test_modules_import_hashed_names_too(tmp_path):
    from registry.static import HashedStorage

    storage = HashedStorage(location=tmp_path, base_url="/static/")
    (tmp_path / "part.js").write_text("export const a = 1;\n")
    (tmp_path / "page.js").write_text('import {a} from "./part.js";\n')
    found = {
        name: hashed
        for name, hashed, _ in storage.post_process(
            {"page.js": (storage, "page.js"), "part.js": (storage, "part.js")}
        )
    }
    page = (tmp_path / found["page.js"]).read_text()
    assert HASHED.search(found["part.js"])
    assert found["part.js"] in page
