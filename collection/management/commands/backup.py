"""The nearest working backup from the console: the same list as the page."""

import json

from django.core.management.base import BaseCommand, CommandError, CommandParser

from collection.core.wording import duration
from collection.road import answer, as_json, queries
from collection.road.needs import NoNeed, read_by
from registry import clock
from registry.access.models import Collection


class Command(BaseCommand):
    help = "Rank what can stand in for a piece, or for a position of the tour that is on, in time."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("code", help="a piece such as A-003, or a position's number")
        parser.add_argument(
            "--by",
            default="",
            help="ready by, such as 2026-11-24T19:00; without a zone the venue's, if there is one",
        )
        parser.add_argument("--now", default="", help="reckon from this time instead of the clock")
        parser.add_argument("--collection", help="its slug; not needed when there is only one")
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args, **options) -> None:
        collection = self._collection(options["collection"])
        try:
            now = read_by(options["now"], collection.zone_info) or clock.now()
            wanted = queries.wanted(collection, options["code"], now=now)
            found = answer.find(collection, member=None, now=now, by=options["by"], **wanted)
        except NoNeed as error:
            raise CommandError(str(error)) from error
        if options["json"]:
            said = json.dumps(as_json.to_json(found), ensure_ascii=False, indent=2)
            self.stdout.write(said)
        else:
            self._say(found)

    def _collection(self, slug: str | None) -> Collection:
        rows = Collection.objects.order_by("slug")
        found = list(rows.filter(slug=slug) if slug else rows)
        if len(found) == 1:
            return found[0]
        slugs = ", ".join(Collection.objects.values_list("slug", flat=True)) or "none"
        raise CommandError(f"Say which collection with --collection; there are: {slugs}.")

    def _say(self, found: answer.Answer) -> None:
        need = found.asked.need
        until = need.ready_by.astimezone(found.asked.zone)
        self.stdout.write(f"Ready by {until:%Y-%m-%d %H:%M} at {need.at.name}")
        for line in found.options:
            at = line.option.sounds_at
            ring = ", estimate, ring" if line.estimate else ""
            self.stdout.write(
                f"{line.option.rank:3} {line.code} {line.name}: sounds {at:%a %H:%M}, "
                f"{line.spare}, {line.stands}, {line.closeness}{ring}"
            )
            for leg in line.legs:
                self.stdout.write(
                    f"      {leg.starts_at:%a %H:%M}  {leg.what}, "
                    f"{duration(leg.length.total_seconds())}: {leg.note}"
                )
        for shut in found.ruled_out:
            self.stdout.write(f"  – {shut.code} {shut.name}: {' '.join(shut.reasons)}")
