"""The nearest working backup: for one need now, and for every position of a tour.

The front of four modules: records (`backup_records`), gates (`backup_gates`), the order for
one need (`backup_ranking`) and the assignment for a whole rig (`rig`).
"""

from collection.core.backup_ranking import Option, Ranking, RuledOut, rank
from collection.core.backup_records import Candidate, Evidence, Need
from collection.core.rig import Assignment, Closer, Position, Show, closers, rig_backup

__all__ = [
    "Assignment",
    "Candidate",
    "Closer",
    "Evidence",
    "Need",
    "Option",
    "Position",
    "Ranking",
    "RuledOut",
    "Show",
    "closers",
    "rank",
    "rig_backup",
]
