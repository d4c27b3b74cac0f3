"""The service worker: its script, and the static files that it keeps."""

import hashlib
import json
from collections.abc import Iterable

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.templatetags.static import static

OURS = ("collection/css/", "collection/js/", "collection/tag.svg")
LOADED = ("django_htmx/htmx-2.min.js", "django_htmx/django-htmx.js")


def static_names() -> list[str]:
    """Names of the static files that pages load, from the manifest where there is one."""
    listed: Iterable[str] = getattr(staticfiles_storage, "hashed_files", None) or _found()
    return sorted(name for name in listed if name.startswith(OURS) or name in LOADED)


def script() -> str:
    """The worker's script: what to keep, then our module, whose hash names its version."""
    files = [static(name) for name in static_names()]
    version = hashlib.sha256("\n".join(files).encode()).hexdigest()[:12]
    told = json.dumps({"version": version, "files": files})
    body = static("collection/js/offline/worker.js")
    return f"self.kept = {told};\nimportScripts({json.dumps(body)});\n"


def _found() -> list[str]:
    return [name for finder in finders.get_finders() for name, _ in finder.list([])]
