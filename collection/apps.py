"""The app of the domain: one label, one chain of migrations."""

from django.apps import AppConfig


class CollectionConfig(AppConfig):
    """The working collection and its book."""

    name = "collection"
    label = "collection"

    def ready(self) -> None:
        """Let those below hear of what stands above them: tours, rig plans, names, rows."""
        from collection.custody import carried, tonight
        from collection.custody.actions.hanging import hang_again
        from collection.custody.loans import plans
        from collection.custody.loans.standing import count_again
        from collection.desk.queries.naming import names_with_codes
        from collection.ledger import naming, settling
        from collection.road.bookings import needed_by_rigs, planned_tours
        from collection.road.carried import carried_at, venue_at
        from collection.stock import bookings

        bookings.told_by(planned_tours)
        carried.told_by(carried_at)
        plans.told_by(needed_by_rigs)
        tonight.told_by(venue_at)
        naming.told_by(names_with_codes)
        settling.told_by(hang_again, count_again)
