"""Print a one-time link for somebody who cannot sign in any more."""

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.access import actions, queries


class Command(BaseCommand):
    """`manage.py link USERNAME`: for whoever runs the machine, across collections."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username")
        parser.add_argument("--site", default="http://127.0.0.1:8000", metavar="ADDRESS")

    def handle(self, **options: Any) -> None:
        person = queries.person_named(options["username"])
        if person is None:
            raise CommandError(f"Nobody signs in as {options['username']!r}.")
        token = actions.make_link(person, now=timezone.now(), lifetime=settings.LINK_LIFETIME)
        self.stdout.write(f"{options['site'].rstrip('/')}/link/{token}/")
