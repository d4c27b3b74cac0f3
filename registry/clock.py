"""The site's clock: the machine's own, or as far behind or ahead of it as a demo has set it.

A demo tells of one evening; `set_to` keeps in its folder how far its clock is from the machine's,
so that its evening is on whenever it is loaded. Sign-in links and sessions go by the machine.
"""

from datetime import date, datetime, timedelta, tzinfo

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone

from registry import environment


def now() -> datetime:
    """The aware UTC instant that the site takes for now."""
    return timezone.now() + timedelta(seconds=settings.CLOCK_AHEAD)


def today(zone: tzinfo) -> date:
    """The day it is in a zone."""
    return now().astimezone(zone).date()


def set_to(moment: datetime) -> None:
    """Let the site's clock run on from this moment, in this process and later ones."""
    ahead = (moment - timezone.now()).total_seconds()
    environment.keep_number(settings.VAR / "clock", ahead)
    settings.CLOCK_AHEAD = ahead


def clock(request: HttpRequest) -> dict[str, object]:
    """The demo's time for pages, and how far it is ahead in seconds; nothing on a real site."""
    ahead = settings.CLOCK_AHEAD
    return {"demo_time": now(), "clock_ahead": round(ahead)} if ahead else {}
