"""The demo: an invented story written into a collection, and a site that shows it."""

from argparse import ArgumentParser
from datetime import timedelta
from io import StringIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, connections
from django.utils import timezone

from fixtures.demo import load
from registry import clock
from registry.access.actions import make_link
from registry.access.models import Collection
from registry.access.queries import person_named

ADDRESS = "127.0.0.1:8000"
LINK_LIFETIME = timedelta(days=1)


class Command(BaseCommand):
    help = "Load the demo if it is not there yet, print a one-time sign-in link, and serve."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="load only")
        parser.add_argument(
            "--fresh", action="store_true", help="throw the demo away and load again"
        )
        parser.add_argument("--without-photos", action="store_true", help="draw no photos")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["fresh"]:
            self._start_over()
        self._refuse_the_folder_of_others()
        call_command("migrate", verbosity=0)
        if load.there() is None:
            self._load(with_photos=not options["without_photos"])
        else:
            self._say("The demo is loaded already; --fresh starts over.")
        if options["no_serve"]:
            return
        self.stdout.write(f"\nSign in once, as Ines Holt, keeper:\n\n    {self._link()}\n")
        self.stdout.write("Control-C stops it.")
        self.stdout.flush()
        call_command("runserver", ADDRESS, use_reloader=False, verbosity=0, stdout=StringIO())

    def _refuse_the_folder_of_others(self) -> None:
        """The demo sets the clock of its whole folder: never where a collection is kept."""
        kept = self._kept()
        others = kept - {load.SLUG}
        if others == kept and others:
            raise CommandError(
                f"{settings.VAR} holds {', '.join(sorted(others))} already, and the demo would set "
                "the clock for all of it. Nothing was changed; give the demo a folder of its own "
                "with REGISTRY_VAR."
            )

    def _load(self, *, with_photos: bool) -> None:
        call_command("gazetteer", stdout=self.stdout)
        clock.set_to(load.BEGINS)
        load.load(now=clock.now(), say=self._say, with_photos=with_photos)

    def _link(self) -> str:
        keeper = person_named(load.KEEPER)
        if keeper is None:
            raise CommandError(f"{load.KEEPER} is gone; --fresh starts over.")
        token = make_link(keeper, now=timezone.now(), lifetime=LINK_LIFETIME, asks_password=False)
        return f"http://{ADDRESS}/link/{token}/"

    def _start_over(self) -> None:
        """Remove the demo's own database; never one that holds another collection."""
        if connection.vendor != "sqlite":
            raise CommandError("--fresh only removes an SQLite database under the demo's folder.")
        file = Path(connection.settings_dict["NAME"]).resolve()
        if Path(settings.VAR).resolve() not in file.parents:
            raise CommandError(f"{file} is not under {settings.VAR}; --fresh leaves it alone.")
        others = sorted(self._kept() - {load.SLUG}) if file.exists() else []
        if others:
            raise CommandError(f"{file} also holds {', '.join(others)}; --fresh leaves it alone.")
        connections.close_all()
        (settings.VAR / "clock").unlink(missing_ok=True)
        for suffix in ("", "-wal", "-shm"):
            file.with_name(file.name + suffix).unlink(missing_ok=True)

    def _kept(self) -> set[str]:
        """Slugs of the collections in this folder, read before anything is migrated."""
        if Collection._meta.db_table not in connection.introspection.table_names():
            return set()
        return set(Collection.objects.values_list("slug", flat=True))

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()
