"""The app of the domain: one label, one chain of migrations."""

from django.apps import AppConfig


class CollectionConfig(AppConfig):
    """The working collection and its book."""

    name = "collection"
    label = "collection"
