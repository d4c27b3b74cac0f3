"""Writing custody: the front of places and parties, moves, thefts and recoveries."""

from collection.custody.actions.moves import move, not_found, sight
from collection.custody.actions.places import add_party, add_place, change_party, change_place
from collection.custody.actions.recoveries import clear_gate, recover
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
    "report_theft",
    "sight",
    "tick",
    "update_report",
]
