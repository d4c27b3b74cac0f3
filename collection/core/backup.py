"""The nearest working backup: for one need now, and for every position of a tour.

The front of several modules: what is asked and known (`backup_records`), what rules a piece
out (`backup_gates`), the ladder (`closeness`), when it sounds (`arrival`), the order for one
need (`backup_ranking`) and the assignment for a whole rig (`rig`, `rig_records`).
"""

from collection.core.backup_ranking import Option, Ranking, RuledOut, rank
from collection.core.backup_records import Candidate, Evidence, Need
from collection.core.rig import closers, rig_backup
from collection.core.rig_records import Assignment, Closer, Position, Show

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
