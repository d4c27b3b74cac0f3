"""The app that knows who may enter."""

from django.apps import AppConfig


class AccessConfig(AppConfig):
    """People, collections, memberships and one-time links."""

    name = "registry.access"
    label = "access"
