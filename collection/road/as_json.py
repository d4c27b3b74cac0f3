"""The answer to a need as the console prints it; times in the zone of the place."""

from datetime import datetime
from typing import Any

from collection.road.answer import Answer, Line
from collection.road.needs import Asked


def to_json(answer: Answer) -> dict[str, Any]:
    """The answer as the command prints it; times in the zone of the place."""
    want = answer.asked
    return {
        "need": _need(want),
        "options": [_option(line, want) for line in answer.options],
        "ruled_out": [{"code": s.code, "reasons": list(s.reasons)} for s in answer.ruled_out],
    }


def _need(want: Asked) -> dict[str, Any]:
    need = want.need
    return {
        "code": need.code,
        "position": str(want.position) if want.position else None,
        "kind": need.kind,
        "design": need.design,
        "circuit": need.circuit,
        "at": need.at.name,
        "show": want.show.code if want.show else None,
        "ready_by": _local(need.ready_by, want),
        "now": _local(need.now, want),
        "outage_minutes": need.outage_minutes,
    }


def _option(line: Line, want: Asked) -> dict[str, Any]:
    option = line.option
    return {
        "code": option.code,
        "rank": option.rank,
        "closeness": option.closeness,
        "listed": option.listed,
        "stands": option.stands,
        "in_time": option.in_time,
        "sounds_at": _local(option.sounds_at, want),
        "margin_minutes": int(option.margin.total_seconds() // 60),
        "basis": option.basis,
        "stale": option.stale,
        "legs": [
            {
                "what": leg.what,
                "starts_at": leg.starts_at.isoformat(timespec="seconds"),
                "ends_at": leg.ends_at.isoformat(timespec="seconds"),
                "basis": leg.basis,
                "note": leg.note,
            }
            for leg in option.legs
        ],
    }


def _local(moment: datetime, want: Asked) -> str:
    return moment.astimezone(want.zone).isoformat(timespec="seconds")
