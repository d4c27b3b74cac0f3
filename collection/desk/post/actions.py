"""Writing letters once and sending them; both may run as often as one likes."""

import logging
from collections.abc import Iterable
from datetime import datetime
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import F

from collection.desk.post.models import Enclosure, Letter
from collection.desk.post.quiet import before_doors
from collection.desk.post.summary import Written, reminders, weekly
from registry.access.models import Collection, Membership

TRIES = 8  # after so many failures a letter is left to people
log = logging.getLogger(__name__)


def write_letters(collection: Collection, *, now: datetime) -> list[Letter]:
    """This week's summary and reminders, to every member who records and has an address."""
    members = [one for one in _readers(collection) if one.records]
    if not members or before_doors(collection, now):
        return []
    today = now.astimezone(collection.zone_info).date()
    words = [weekly(collection, today=today), *reminders(collection, today=today)]
    return _keep(collection, members, [one for one in words if one is not None], now=now)


def _readers(collection: Collection) -> Iterable[Membership]:
    members = Membership.objects.of(collection).standing().exclude(person__email="")
    return members.select_related("person").order_by("code")


@transaction.atomic
def _keep(
    collection: Collection, members: list[Membership], words: list[Written], *, now: datetime
) -> list[Letter]:
    """New letters only: one about a thing to one member is written once."""
    found = []
    for member in members:
        for one in words:
            letter, is_new = Letter.objects.get_or_create(
                collection=collection,
                member=member,
                key=one.key,
                defaults={
                    "address": member.person.email,
                    "subject": one.subject,
                    "body": one.body,
                    "made_at": now,
                },
            )
            found += [letter] if is_new else []
    return found


def send_letters(collection: Collection, *, now: datetime) -> tuple[int, int]:
    """Send what waits; (sent, failed). Before the doors of a show everything waits.

    A letter is claimed before it is sent, so that two runs at once do not send it twice; what
    fails stays with its reason and is tried again by the next run.
    """
    if before_doors(collection, now):
        return 0, 0
    waiting = Letter.objects.of(collection).filter(sent_at=None, tries__lt=TRIES)
    sent = failed = 0
    for letter in list(waiting):
        mine = Letter.objects.filter(pk=letter.pk, sent_at=None, tries=letter.tries)
        if not mine.update(tries=F("tries") + 1):
            continue
        error = _send(letter)
        if error:
            Letter.objects.filter(pk=letter.pk).update(last_error=error[:200])
            failed += 1
        else:
            Letter.objects.filter(pk=letter.pk).update(sent_at=now, last_error="")
            Enclosure.objects.filter(letter=letter).update(data=b"")
            sent += 1
    return sent, failed


def _send(letter: Letter) -> str:
    """Send one letter; why it failed, '' when it did not."""
    mail = EmailMessage(letter.subject, letter.body, settings.DEFAULT_FROM_EMAIL, [letter.address])
    for one in Enclosure.objects.filter(letter=letter):
        mail.attach(one.name, bytes(one.data), one.media_type)
    try:
        mail.send()
    except (OSError, SMTPException, ValueError) as error:
        log.warning("letter %s was not sent: %s", letter.pk, error)
        return f"{type(error).__name__}: {error}"
    return ""
