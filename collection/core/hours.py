"""How many hours a part has on it: what its pieces ran while it was fitted, and what it brought.

Two clocks: heaters on, and high tension (HT) on. Hours belong to the part and move with it.
Everything is exact: decimals as told, no rounding.

The book may contradict itself, and nothing is refused: every contradiction is a finding, and hours
follow one stated rule. A part leaves a position when it is taken out, when it is fitted elsewhere,
or when another part is fitted there, whichever comes first; the last two without the first are
findings. It counts the sessions that stand between its fitting and its leaving.

An hour meter tells what ran between two of its readings on its own clock. What it shows beyond the
log is taken as run at the later reading, so the parts fitted then get it; whether a part that was
changed in between ran some of it cannot be known, and is a finding. If the log holds more than the
meter, the log is kept. The first reading only sets the meter: what ran before it is not known.

Source: house rules; that wear is counted on two clocks is common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from itertools import accumulate, pairwise

from collection.core.hours_records import (
    CLOCKS,
    At,
    Clock,
    Clocks,
    Finding,
    Fitting,
    HoursFound,
    MeterReading,
    Session,
)

_Runs = list[tuple[At, Decimal]]
_NOUN = {"heater": "heater", "ht": "HT"}


def part_hours(
    fittings: Iterable[Fitting],
    sessions: Iterable[Session],
    meters: Iterable[MeterReading] = (),
    *,
    brought: Mapping[str, Clocks] | None = None,
) -> HoursFound:
    """Hours of every part that was fitted or brought hours along.

    Args:
        fittings, sessions, meters: effective entries in any order; corrections are done with.
        brought: part → hours it had before the book knew it.

    Time grows as n log n in fittings and sessions, but for what contradicts; each meter reading
    looks at all fittings.
    """
    fitted = sorted(fittings, key=lambda fitting: fitting.put_in)
    ran = tuple(sessions)
    findings: list[Finding] = []
    spans = _spans(fitted, findings)
    runs = {clock: _runs(clock, ran, findings) for clock in CLOCKS}
    _add_meters(runs, sorted(meters, key=lambda reading: reading.at), fitted, findings)
    findings += _heaters_off(ran)
    totals: dict[Clock, dict[str, Decimal]] = {
        clock: _totals(runs[clock], spans) for clock in CLOCKS
    }
    start = brought or {}
    parts = {
        part: Clocks(*(
            getattr(start.get(part, Clocks()), clock) + totals[clock].get(part, Decimal(0))
            for clock in CLOCKS
        ))
        for part in sorted({fitting.part for fitting in fitted} | set(start))
    }  # fmt: skip
    findings.sort(key=lambda finding: (finding.entries, finding.sentence))
    return HoursFound(parts, tuple(findings))


# -- where each part was ---------------------------------------------------------------------


def _spans(fitted: Sequence[Fitting], findings: list[Finding]) -> list[tuple[Fitting, At | None]]:
    """Each fitting with the moment at which its part left."""
    by_part, by_position = _following(fitted, _part), _following(fitted, _position)
    spans = []
    for fitting, elsewhere, displaced in zip(fitted, by_part, by_position, strict=True):
        later = sorted({*elsewhere, *displaced}, key=lambda other: other.put_in)
        ends = [fitting.taken_out] if fitting.taken_out else []
        ends += [other.put_in for other in later[:1]]
        findings += _out_too_soon(fitting)
        findings += [_still_there(fitting, other) for other in _contradicting(fitting, later)]
        spans.append((fitting, min(ends, default=None)))
    return spans


def _part(fitting: Fitting) -> tuple[str, ...]:
    return (fitting.part,)


def _position(fitting: Fitting) -> tuple[str, ...]:
    return (fitting.piece, fitting.position) if fitting.position else ()


def _following(
    fitted: Sequence[Fitting], key: Callable[[Fitting], tuple[str, ...]]
) -> list[Sequence[Fitting]]:
    """For each fitting the later ones with the same key, up to the first after it was taken out."""
    alike: dict[tuple[str, ...], list[Fitting]] = defaultdict(list)
    places = []
    for fitting in fitted:
        places.append(len(alike[key(fitting)]))
        alike[key(fitting)].append(fitting)
    return [
        _until_out(fitting, alike[key(fitting)], place + 1) if key(fitting) else ()
        for fitting, place in zip(fitted, places, strict=True)
    ]


def _until_out(fitting: Fitting, alike: Sequence[Fitting], place: int) -> Sequence[Fitting]:
    end = place + 1
    while fitting.taken_out and end < len(alike) and alike[end - 1].put_in < fitting.taken_out:
        end += 1
    return alike[place:end]


def _contradicting(fitting: Fitting, later: Sequence[Fitting]) -> Sequence[Fitting]:
    """Fittings while this one was still in; without a taking out the first of them ends it."""
    out = fitting.taken_out
    return later[:1] if out is None else [other for other in later if other.put_in < out]


def _out_too_soon(fitting: Fitting) -> list[Finding]:
    out = fitting.taken_out
    if out is None or out >= fitting.put_in:
        return []
    sentence = f"{fitting.part} was taken out of {fitting.where} before it was put in."
    return [Finding(fitting.part, sentence, (fitting.put_in.number, out.number))]


def _still_there(fitting: Fitting, other: Fitting) -> Finding:
    return Finding(
        fitting.part,
        f"{other.part} was fitted in {other.where} while {fitting.part} was still in "
        f"{fitting.where}.",
        (fitting.put_in.number, other.put_in.number),
    )


# -- what each piece ran ---------------------------------------------------------------------


def _runs(clock: Clock, sessions: Sequence[Session], findings: list[Finding]) -> dict[str, _Runs]:
    """Piece → moments with hours on one clock; hours that cannot be are findings and left out."""
    runs: dict[str, _Runs] = defaultdict(list)
    for session in sessions:
        hours = session.told(clock)
        if hours is not None and hours.is_finite() and hours >= 0:
            runs[session.piece].append((session.at, hours))
            continue
        what = "are not told" if hours is None else f"cannot be {hours}"
        findings.append(
            Finding(
                session.piece,
                f"The {_NOUN[clock]} hours that {session.piece} ran {what}.",
                (session.at.number,),
            )
        )
    return {piece: sorted(each) for piece, each in runs.items()}


def _heaters_off(sessions: Iterable[Session]) -> list[Finding]:
    return [
        Finding(
            session.piece,
            f"{session.piece} ran {session.ht_hours} h on HT but only {session.heater_hours} h on "
            "its heaters.",
            (session.at.number,),
        )
        for session in sessions
        if session.ht_hours is not None
        and session.heater_hours is not None
        and session.ht_hours > session.heater_hours
    ]


def _add_meters(
    runs: Mapping[Clock, dict[str, _Runs]],
    meters: Sequence[MeterReading],
    fitted: Sequence[Fitting],
    findings: list[Finding],
) -> None:
    """Add what meters show beyond the log, each at the later of two readings."""
    series: dict[tuple[Clock, str], list[MeterReading]] = defaultdict(list)
    for reading in meters:
        series[reading.clock, reading.piece].append(reading)
    for (clock, piece), readings in series.items():
        logged = tuple(runs[clock].get(piece, ()))
        for first, second in pairwise(readings):
            inside = _between(logged, first.at, second.at)
            unlogged = second.hours - first.hours - inside
            findings += _meter_findings(first, second, unlogged, fitted)
            if unlogged > 0:
                runs[clock].setdefault(piece, []).append((second.at, unlogged))
        runs[clock].get(piece, []).sort()


def _between(logged: Sequence[tuple[At, Decimal]], first: At, second: At) -> Decimal:
    begins, ends = (bisect_left(logged, (at,)) for at in (first, second))
    return sum((hours for _, hours in logged[begins:ends]), Decimal(0))


def _meter_findings(
    first: MeterReading, second: MeterReading, unlogged: Decimal, fitted: Sequence[Fitting]
) -> list[Finding]:
    piece, noun, entries = first.piece, _NOUN[first.clock], (first.at.number, second.at.number)
    if second.hours < first.hours:
        back = f"The {noun} meter of {piece} went back from {first.hours} h to {second.hours} h."
        return [Finding(piece, back, entries)]
    if unlogged < 0:
        more = f"The log of {piece} has {-unlogged} h more than its {noun} meter."
        return [Finding(piece, more, entries)]
    changed = sorted({
        fitting.part
        for fitting in fitted
        if fitting.piece == piece
        for at in (fitting.put_in, fitting.taken_out)
        if at is not None and first.at < at < second.at
    })  # fmt: skip
    if not unlogged or not changed:
        return []
    who = f"{unlogged} h of {piece} are on its {noun} meter and not in the log; whether "
    return [Finding(piece, f"{who}{', '.join(changed)} ran them is not known.", entries)]


def _totals(
    runs: Mapping[str, _Runs], spans: Iterable[tuple[Fitting, At | None]]
) -> dict[str, Decimal]:
    """Part → hours on one clock, by running sums over each piece's moments."""
    sums = {
        piece: list(accumulate((hours for _, hours in each), initial=Decimal(0)))
        for piece, each in runs.items()
    }
    totals: dict[str, Decimal] = defaultdict(Decimal)
    for fitting, left in spans:
        each = runs.get(fitting.piece)
        if not each or (left is not None and left <= fitting.put_in):
            continue
        begins = bisect_left(each, (fitting.put_in,))
        ends = len(each) if left is None else bisect_left(each, (left,))
        totals[fitting.part] += sums[fitting.piece][ends] - sums[fitting.piece][begins]
    return totals
