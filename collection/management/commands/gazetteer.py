"""Fill the table of towns from the offline gazetteer."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from collection.custody import gazetteer


class Command(BaseCommand):
    help = "Fill the table of towns from the offline gazetteer; once filled, it does nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--again", action="store_true", help="fill it over what is there")

    def handle(self, *args: Any, **options: Any) -> None:
        there = gazetteer.filled()
        if there and not options["again"]:
            self.stdout.write(f"{there:,} towns are there already.")
            return
        self.stdout.write(f"{gazetteer.fill():,} towns.")
