"""Static files under hashed names, compressed once, as a site for others serves them."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStorage(CompressedManifestStaticFilesStorage):
    """Also renames what ES modules import, or an old module would meet a new one."""

    support_js_module_import_aggregation = True
