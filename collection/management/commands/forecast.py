"""`manage.py forecast TYPE`: how many years of a type remain, as text or as JSON."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from collection.stock import queries
from collection.stock.asked import CHANCES, YEARS, Outcome, Refused, outcome
from collection.stock.bookings import planned
from collection.stock.endangered import tour_chances
from collection.stock.forecast import Prospect
from registry import clock
from registry.access.models import Collection


class Command(BaseCommand):
    """Ask the stock of one type how long it lasts."""

    help = "How many years of a part type remain."

    def add_arguments(self, parser) -> None:
        """The type, the collection, the form of the answer."""
        parser.add_argument("type", help="a type such as EL84, or an exact equivalent")
        parser.add_argument("--collection", help="slug; may be left out when there is only one")
        parser.add_argument("--json", action="store_true", help="answer as one JSON object")
        parser.add_argument("--reserve", action="store_true", help="count the pulled reserve too")

    def handle(self, *args: Any, **options: Any) -> None:
        """Answer, or say every reason why not and end with a failure."""
        collection = _collection(options["collection"])
        today = clock.today(collection.zone_info)
        stock = queries.shelf(collection).stock(options["type"])
        if stock is None:
            raise CommandError(f"There is no type {options['type']} in {collection.slug}.")
        prospect = Prospect(stock, today=today, bookings=planned(collection, today))
        try:
            asked = prospect.ask(reserve=options["reserve"])
        except Refused as refused:
            raise CommandError("\n".join(refused.reasons)) from refused
        answer = _answer(prospect, outcome(asked)) | {
            "hand_rule_years": asked.hand_rule_years,
            "law_of_life": asked.law.basis,
            "use": prospect.use.basis,
            "planned_tours": {
                one.booking.code: one.chance
                for one in tour_chances(asked, prospect.bookings, today)
            },
            "pull_hours": prospect.pull,
            "warnings": list(prospect.doubts(asked)),
        }
        self.stdout.write(json.dumps(answer, indent=2) if options["json"] else _told(answer))


def _collection(slug: str | None) -> Collection:
    found = Collection.objects.all()
    if slug is not None:
        found = found.filter(slug=slug)
    if found.count() != 1:
        known = ", ".join(Collection.objects.values_list("slug", flat=True)) or "none"
        raise CommandError(f"Name one collection with --collection; there are: {known}.")
    return found.get()


def _answer(prospect: Prospect, found: Outcome) -> dict[str, Any]:
    return {
        "type": prospect.stock.name,
        "units": found.units,
        "unit": "set" if prospect.stock.lead.set_size > 1 else "part",
        "median_years": found.median,
        "quantiles": {str(p): found.quantiles[p] for p in CHANCES},
        "horizon_years": YEARS,
        "beyond_horizon": found.beyond,
        "failures_per_show": found.failures_per_show,
    }


def _told(answer: dict[str, Any]) -> str:
    lines = [f"{answer['type']}: {answer['units']} {answer['unit']}s that can go on stage."]
    for chance, years in answer["quantiles"].items():
        when = f"more than {YEARS} years" if years is None else f"{years:.1f} years"
        lines.append(f"Run out with a chance of {float(chance):.0%} by: {when}.")
    if answer["hand_rule_years"] is not None:
        lines.append(f"Hand rule: {answer['hand_rule_years']:.1f} years.")
    return "\n".join([*lines, *answer["warnings"]])
