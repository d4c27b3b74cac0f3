"""The app that knows who may enter."""

from django.apps import AppConfig


class AccessConfig(AppConfig):
    """People, collections, memberships and one-time links."""

    name = "registry.access"
    label = "access"

    def ready(self) -> None:
        """Let forms speak plainly, before the first of them is made."""
        from registry.form_words import speak

        speak()
