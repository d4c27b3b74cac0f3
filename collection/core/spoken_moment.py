"""Dates with a time of day as people say them: 'today, 15:58', '21.40', '9 Jun 2019 14:05'."""

from __future__ import annotations

import re
from datetime import datetime, time, tzinfo

from collection.core.partial_date import PartialDate, PartialDateError

_TIMED = re.compile(
    r"^(?:(?P<day>.+?)[\s,]+(?:at\s+)?)?(?P<hour>\d{1,2})[:.h](?P<minute>\d{2})$", re.I
)
NOW = {"now", "just now"}


def read_moment(text: str, *, now: datetime, zone: tzinfo) -> str:
    """EDTF text of what somebody typed; '' and 'now' are today in `zone`.

    `now` is an aware instant. A time of day needs a whole day before it, or none for today; it
    becomes an instant with the zone's offset on that day. Without one, the reading is that of
    `PartialDate.read`. House rule. Raises PartialDateError.
    """
    said = text.strip()
    today = now.astimezone(zone).date()
    if not said or said.casefold() in NOW:
        return today.isoformat()
    timed = _TIMED.match(said)
    if timed and (int(timed["hour"]) > 23 or int(timed["minute"]) > 59) and ":" in said:
        raise PartialDateError("a day has no such hour", 0)
    if timed and int(timed["hour"]) < 24 and int(timed["minute"]) < 60:
        day = PartialDate.read((timed["day"] or "today").strip(" ,"), today=today)
        if day.earliest is None or day.earliest != day.latest:
            raise PartialDateError("a time of day needs one whole day before it", 0)
        at = time(int(timed["hour"]), int(timed["minute"]))
        return datetime.combine(day.earliest, at, tzinfo=zone).isoformat()
    return PartialDate.read(said, today=today).text
