"""Static files under hashed names, compressed once, as a site for others serves them."""

from django.contrib.staticfiles.apps import StaticFilesConfig
from whitenoise.storage import CompressedManifestStaticFilesStorage


class StaticConfig(StaticFilesConfig):
    """Leaves out what no page loads: htmx extensions import names that cannot be hashed."""

    ignore_patterns = [*StaticFilesConfig.ignore_patterns, "django_htmx/ext*"]


class HashedStorage(CompressedManifestStaticFilesStorage):
    """Also renames what ES modules import, or an old module would meet a new one."""

    support_js_module_import_aggregation = True
