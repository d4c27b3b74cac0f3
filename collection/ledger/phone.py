"""When a phone says that something was written, of what had to wait for the network."""

from datetime import datetime, timedelta

LATE = timedelta(minutes=1)  # what waited less happened when it arrived
OLDEST = timedelta(days=60)  # a session lasts 30; an older claim is a clock that was set wrong


def claimed(text: str, *, now: datetime) -> datetime | None:
    """The instant claimed, when it can be read and lies in the 60 days before `now`."""
    try:
        said = datetime.fromisoformat(text)
    except ValueError:
        return None
    if said.tzinfo is None or not now - OLDEST < said <= now:
        return None
    return said


def late(claim: datetime | None, *, now: datetime) -> str:
    """The claim as the book writes an instant, when it waited long enough to matter, else ''."""
    if claim is None or now - claim <= LATE:
        return ""
    return claim.isoformat(timespec="seconds")
