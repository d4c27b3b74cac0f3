"""Writing custody: the front of places and parties, moves, thefts and recoveries."""

from collection.custody.actions.moves import move, not_found, sight
from collection.custody.actions.places import add_party, add_place, change_party, change_place
from collection.custody.actions.recoveries import (
    clear_gate,
    recover,
    release,
    settle_title,
)
from collection.custody.actions.thefts import report_theft, tick, update_report

__all__ = [
    "add_party",
    "add_place",
    "change_party",
    "change_place",
    "clear_gate",
    "move",
    "not_found",
    "recover",
    "release",
    "report_theft",
    "settle_title",
    "sight",
    "tick",
    "update_report",
]
