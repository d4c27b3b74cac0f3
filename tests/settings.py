"""The site's settings, with what tests may have faster or apart from the site's own files."""

import os
from pathlib import Path

os.environ.setdefault("REGISTRY_VAR", str(Path(__file__).resolve().parent.parent / "var/tests"))

from registry.settings import *  # noqa: F403

# Argon2 is slow on purpose; what it is used for is asserted against registry.settings.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
WHITENOISE_AUTOREFRESH = True
WHITENOISE_USE_FINDERS = True
