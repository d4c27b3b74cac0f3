"""Marks, drawings and words that pages share; the figures come from the core.

Load with `{% load look %}`. A wrong code raises: a page must not show a tick for a state it
does not know.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from django import template
from django.template.context import RequestContext
from django.utils import timezone
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from collection.core import drawing, lettering, wording
from registry import clock

register = template.Library()

STATES = (
    "ok",
    "thin",
    "bare",
    "due",
    "over",
    "gone",
    "open",
    "void",
    "wait",
    "phone",
    "tour",
    "ask",
)
CERTAINTIES = ("seen", "document", "told", "inferred")
GAUGE_WORDS = {
    "sealed": "sealed", "tested": "tested, show grade", "bench": "bench grade",
    "pulled": "pulled reserve", "fitted": "fitted", "dead": "dead",
    "unexplained": "not accounted for",
}  # fmt: skip
LEG_WORDS = {"warm": "warm up"}
STENCIL_ROOM = 14  # characters of the painted line that fit a phone at 32 px
PAGES = {  # beginnings of view names to the page of the strap; the longest that fits wins
    "desk:tonight": "tonight",
    "desk:show": "tonight",
    "desk:piece": "pieces",
    "catalogue": "pieces",
    "importing": "pieces",
    "sockets": "pieces",
    "road:backup": "backup",
    "stock": "stock",
    "bench:record": "record",
    **dict.fromkeys(("bench:sheet", "bench:set_down", "bench:origin"), "pieces"),
    **dict.fromkeys(("bench", "desk", "ledger", "custody", "road", "papers"), "more"),
}


def _known(code: str, codes: Sequence[str], what: str) -> str:
    if code not in codes:
        raise ValueError(f"{what} {code!r} has no glyph; accepted: {', '.join(codes)}")
    return code


@register.simple_tag(takes_context=True)
def strap_here(context: RequestContext) -> str:
    """Which page of the strap the visitor is on, from the name of the view."""
    match = getattr(context.get("request"), "resolver_match", None)
    name = match.view_name if match else ""
    fitting = [page for page in PAGES if name.startswith(page)]
    return PAGES[max(fitting, key=len)] if fitting else ""


@register.inclusion_tag("_parts/state.html")
def state(code: str, words: object) -> dict[str, object]:
    """A state: its glyph and its words."""
    return {"code": _known(code, STATES, "state"), "words": words}


@register.inclusion_tag("_parts/cert.html")
def cert(code: str, words: object = "") -> dict[str, object]:
    """A certainty: its glyph and its words, or its own name."""
    return {"code": _known(code, CERTAINTIES, "certainty"), "words": words or code}


@register.inclusion_tag("_parts/tag.html")
def piece_tag(code: str, name: str, url: str = "", small: str = "") -> dict[str, object]:
    """A piece as a swing tag, with a way to its page when there is one."""
    return {"code": code, "name": name, "url": url, "small": small}


@register.inclusion_tag("_parts/caution.html")
def caution(title: str, words: str = "") -> dict[str, object]:
    """The words that stand before a hand goes near something that hurts."""
    return {"title": title, "words": words}


@register.filter
def full_stop(words: object) -> str:
    """Words that somebody wrote as a sentence: a capital first, one stop at the end."""
    said = str(words).strip()
    return "" if not said else said[:1].upper() + said[1:] + ("" if said[-1] in ".!?…" else ".")


@register.filter
def painted(words: str) -> str:
    """The class of a big fact: cut as a stencil where it fits one line of a phone."""
    return "stencil" if len(str(words)) <= STENCIL_ROOM else "painted"


@register.inclusion_tag("_parts/draw/grade.html")
def grade(step: int, accepted: int | None = None, words: str = "") -> dict[str, object]:
    """Five boxes: where the backup stands, and the outage the artist accepts."""
    return {"row": drawing.grade_row(step, accepted), "step": step, "accepted": accepted,
            "words": words}  # fmt: skip


@register.inclusion_tag("_parts/draw/gauge.html")
def gauge(counts: Mapping[str, int], unit: str = "tube") -> dict[str, object]:
    """Stock as marks, one state a row."""
    drawn = drawing.gauge(counts)
    rows = [{"row": row, "words": GAUGE_WORDS[row.state]} for row in drawn.rows]
    return {"rows": rows, "each": drawn.each, "unit": unit}


@register.inclusion_tag("_parts/draw/years.html")
def strip_years(
    earliest: int | None,
    latest: int | None,
    *,
    first: int,
    last: int,
    best_from: int | None = None,
    best_to: int | None = None,
) -> dict[str, object]:
    """A window of years, with the likeliest span solid."""
    best = (best_from, best_to or best_from) if best_from else None
    strip = drawing.year_strip(earliest, latest, best=best, first=first, last=last)
    return {"strip": strip, "earliest": earliest, "latest": latest, "best": best}


@register.inclusion_tag("_parts/draw/day.html")
def strip_day(
    moments: Sequence[drawing.Moment],
    *,
    start: datetime,
    end: datetime,
    now: datetime | None = None,
) -> dict[str, object]:
    """The day as a line: a tick an hour, what happens when, and now."""
    strip = drawing.day_strip(moments, start=start, end=end, now=now)
    return {"strip": strip, "moments": moments, "now": now, "start": start, "end": end}


@register.inclusion_tag("_parts/draw/legs.html")
def strip_legs(
    legs: Sequence[drawing.Leg], *, start: datetime, end: datetime, limits: Sequence[datetime] = ()
) -> dict[str, object]:
    """A way in legs against the time that is left; the first limit is the one to beat."""
    strip = drawing.leg_strip(legs, start=start, end=end, limits=limits)
    said = [{"leg": leg, "words": LEG_WORDS.get(leg.kind, leg.kind)} for leg in legs]
    return {"strip": strip, "legs": said, "limits": limits}


@register.inclusion_tag("_parts/draw/legs_key.html")
def legs_key() -> dict[str, object]:
    """What the patterns of a way mean."""
    return {}


@register.inclusion_tag("_parts/draw/fan.html")
def fan(series: Sequence[drawing.FanSeries], what: str) -> dict[str, object]:
    """What is left, year by year; the first forecast solid, the others dashed."""
    return {"plot": drawing.fan_plot(series), "series": series, "what": what}


@register.filter
def typed_serial(serial: str) -> SafeString:
    """A serial as typed, with the characters that are easily misread underlined."""
    parts = format_html_join(
        "",
        "{}",
        (
            (format_html('<span class="doubtful">{}</span>', part.text) if part.doubtful
             else part.text,)
            for part in lettering.stretches(str(serial))
        ),
    )  # fmt: skip
    return format_html('<span class="typed">{}</span>', parts)


@register.filter
def spelt_out(serial: str) -> str:
    """The doubtful characters of a serial in words."""
    return lettering.spelt_out(str(serial))


def _in_zone(moment: datetime, zone: str | tzinfo | None) -> datetime:
    return timezone.localtime(
        moment, ZoneInfo(zone) if isinstance(zone, str) and zone else zone or None
    )


@register.filter
def local_time(moment: datetime | None, zone: str | tzinfo | None = None) -> str:
    """The hour of an instant on the clock of a zone (the active one by default)."""
    if moment is None:
        return ""
    local = _in_zone(moment, zone)
    return format_html('<time datetime="{}">{}</time>', local.isoformat(), f"{local:%H:%M}")


@register.filter
def local_moment(moment: datetime | None, zone: str | tzinfo | None = None) -> str:
    """Day and hour of an instant on the clock of a zone (the active one by default)."""
    if moment is None:
        return ""
    local = _in_zone(moment, zone)
    said = f"{wording.day(local.date(), today=None)}, {local:%H:%M}"
    return format_html('<time datetime="{}">{}</time>', local.isoformat(), said)


@register.filter
def day(when: date | None) -> str:
    """A day with weekday and year."""
    if when is None:
        return ""
    said = wording.day(when, today=None)
    return format_html('<time datetime="{}">{}</time>', f"{when:%Y-%m-%d}", said)


@register.filter
def ago(moment: datetime | None, now: datetime | None = None) -> str:
    """How long ago an instant was."""
    return wording.ago(moment, now or clock.now()) if moment else ""


@register.filter
def since(moment: datetime | None, now: datetime | None = None) -> str:
    """From when something holds, on the clock of the active zone, or of `now`'s."""
    if moment is None:
        return ""
    clock_now = timezone.localtime(clock.now()) if now is None else now
    return wording.since(moment.astimezone(clock_now.tzinfo), clock_now)


@register.filter
def duration(length: timedelta | float | None) -> str:
    """A length of time: a timedelta, or a number of minutes."""
    if length is None:
        return ""
    seconds = length.total_seconds() if isinstance(length, timedelta) else 60 * float(length)
    return wording.duration(seconds)


@register.filter
def money(minor: int | None, currency: str) -> str:
    """An amount in minor units of a currency."""
    return "" if minor is None else wording.money(int(minor), currency)
