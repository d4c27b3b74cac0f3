"""The app of the domain: one label, one chain of migrations."""

from django.apps import AppConfig


class CollectionConfig(AppConfig):
    """The working collection and its book."""

    name = "collection"
    label = "collection"

    def ready(self) -> None:
        """Let the stock hear of planned tours, which stand above it."""
        from collection.road.bookings import planned_tours
        from collection.stock.bookings import told_by

        told_by(planned_tours)
