"""The app of the domain: one label, one chain of migrations."""

from django.apps import AppConfig


class CollectionConfig(AppConfig):
    """The working collection and its book."""

    name = "collection"
    label = "collection"

    def ready(self) -> None:
        """Let stock and custody hear of tours, which stand above them."""
        from collection.custody import carried
        from collection.custody.loans import plans
        from collection.road.bookings import needed_by_rigs, planned_tours
        from collection.road.carried import carried_at
        from collection.stock import bookings

        bookings.told_by(planned_tours)
        carried.told_by(carried_at)
        plans.told_by(needed_by_rigs)
