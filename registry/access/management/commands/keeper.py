"""Make a person the keeper of a collection, and print a one-time link to sign in."""

from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction
from django.utils import timezone

from registry.access import actions, queries
from registry.access.roles import Role


class Command(BaseCommand):
    """`manage.py keeper`: the first way into a collection of one's own."""

    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--username", default="keeper")
        parser.add_argument("--name", default="Keeper")
        parser.add_argument("--collection", default="gear", metavar="SLUG")
        parser.add_argument("--collection-name", default="Our gear")
        parser.add_argument("--zone", default="UTC")
        parser.add_argument("--currency", default="EUR")
        parser.add_argument("--site", default="http://127.0.0.1:8000", metavar="ADDRESS")
        parser.add_argument(
            "--first-only",
            action="store_true",
            help="do nothing if a keeper has a password already",
        )

    def handle(self, **options: Any) -> None:
        if options["first_only"] and queries.a_keeper_can_sign_in():
            self.stdout.write("There is a keeper already; sign in as before.")
            return
        token = self._make(options)
        self.stdout.write("Sign in once, within a day:")
        self.stdout.write(f"{options['site'].rstrip('/')}/link/{token}/")

    @transaction.atomic
    def _make(self, options: dict[str, Any]) -> str:
        collection = queries.collection_at(options["collection"]) or actions.open_collection(
            name=options["collection_name"],
            slug=options["collection"],
            zone=options["zone"],
            currency=options["currency"],
        )
        person = queries.person_named(options["username"]) or actions.add_person(
            username=options["username"], name=options["name"]
        )
        if queries.membership_of(person, collection.slug) is None:
            actions.join(collection, person, role=Role.KEEPER)
        return actions.make_link(person, now=timezone.now(), lifetime=timedelta(days=1))
