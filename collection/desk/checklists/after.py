"""Lay-up: what is done before everything stands still for months.

What is done by custom alone says so: 'common practice, no source'. Where custom is divided, both
ways are named, and the choice is the technician's.
"""

from collections.abc import Iterable, Iterator

from collection.catalogue.models import Piece
from collection.core.state import from_json
from collection.custody.cases.models import KitLine
from collection.custody.loans.queries import all_loans
from collection.desk.checklists.gathered import Gathered, named, worded
from collection.desk.checklists.line import Group, Line

CUSTOM = "Common practice, no source."
# key: (kinds, what the family must hold, what it must not hold, what to do, why)
PRACTICE = (
    ("slack", ("instrument",), "", "organ", "Strings: slacken, or leave at pitch, and write which",
     "Both are done; a neck set up at pitch moves when it is slack."),
    ("cases", ("instrument", "microphone"), "", "", "Into closed cases, away from outside walls",
     "Keep near 45 to 55 % relative humidity, and write down a reading."),
    ("batteries", ("effect",), "", "", "Batteries out, contacts looked at",
     "A cell left in for a winter leaks."),
    ("covers", ("amplifier", "cabinet", "effect"), "", "", "Dust covers on, leads out and coiled",
     "Dust and mice."),
    ("tubes", ("amplifier",), "", "",
     "Tubes: leave in, or take out and mark the socket, and write which",
     "In their sockets they are not lost; out of them they do not shake."),
    ("loops", ("effect",), "echo", "", "Tape loops out, pinch rollers off the capstan",
     "Rubber left pressed keeps a flat."),
    ("ribbons", ("microphone",), "ribbon", "", "Microphones upright, in their boxes",
     "A ribbon that lies flat sags."),
)  # fmt: skip


def groups(asked: Gathered) -> tuple[Group, ...]:
    """Every reason that has a line."""
    found = (
        Group("Back to whom it belongs", tuple(_loans(asked))),
        Group("Mend before it is forgotten", tuple(_faults(asked))),
        Group("Due after the tour", tuple(_due(asked))),
        Group("Unproven since the road", tuple(_unproven(asked)),
              "Try it before it is put away: a fault found in spring is one nobody can place."),
        Group("Put away", (*_practice(asked.pieces), *_kit(asked)), CUSTOM),
        Group("Papers", tuple(_papers(asked))),
    )  # fmt: skip
    return tuple(group for group in found if group.lines)


def _loans(asked: Gathered) -> Iterator[Line]:
    found = all_loans(asked.collection, today=asked.today)
    for line in (*found.taken_in, *found.lent):
        loan = line.loan
        what = ", ".join(named(row.piece) for row in line.out)
        way = "ours, with" if loan.lent else f"{loan.get_way_display()} of"
        why = f"{way.capitalize()} {loan.party.name} until {worded(loan.ends_on)}."
        yield Line(f"loan:{loan.code}", what, why, ("custody:loan", loan.code))


def _faults(asked: Gathered) -> Iterator[Line]:
    for piece in asked.pieces:
        row = getattr(piece.subject, "state", None)
        state = from_json(row.detail) if row else None
        for code in state.open_faults if state else ():
            words = dict(state.faults)[code].replace("-", " ")
            yield Line(f"fault:{code}", named(piece), f"Fault {code} is {words}.",
                       ("bench:fault", code))  # fmt: skip


def _due(asked: Gathered) -> Iterator[Line]:
    for one in asked.due:
        yield Line(f"due:{one.piece.code}:{one.plan.pk}", f"{named(one.piece)}: {one.plan.what}",
                   f"{one.due.words}.", ("desk:piece", one.piece.code))  # fmt: skip


def _unproven(asked: Gathered) -> Iterator[Line]:
    for piece in asked.pieces:
        row = getattr(piece.subject, "state", None)
        state = from_json(row.detail) if row else None
        if state and state.unproven_since:
            because = state.unproven_because or "nobody says why"
            why = f"Unproven since {state.unproven_since}: {because}."
            yield Line(f"unproven:{piece.code}", f"Try {named(piece)}", why,
                       ("bench:record_kind", piece.code, "inspected"))  # fmt: skip


def _practice(pieces: Iterable[Piece]) -> Iterator[Line]:
    rows = [(piece, _family(piece)) for piece in pieces]
    for key, kinds, has, lacks, what, why in PRACTICE:
        codes = [
            piece.code for piece, family in rows
            if piece.kind in kinds and has in family and not (lacks and lacks in family)
        ]  # fmt: skip
        if codes:
            yield Line(f"custom:{key}", what, f"{why} {', '.join(codes)}.")


def _family(piece: Piece) -> str:
    own = piece.family or (piece.design.family if piece.design else "")
    return own.casefold()


def _kit(asked: Gathered) -> Iterator[Line]:
    """Batteries that lie in the cases of the tour, and kit that was counted short."""
    for line in KitLine.objects.filter(place__tours=asked.tour).select_related("place"):
        where = ("custody:place", line.place.code)
        if "batter" in line.what.casefold():
            yield Line(f"cells:{line.pk}", f"{line.place.code}: {line.what} out of the case",
                       "Loose cells in a warm store.", where)  # fmt: skip
        if line.short:
            yield Line(f"short:{line.pk}", f"{line.place.code}: buy {line.what}",
                       f"{line.there} of {line.due} were counted.", where)  # fmt: skip


def _papers(asked: Gathered) -> Iterator[Line]:
    if asked.tour.carnet:
        yield Line("carnet:back", "Carnet back to its chamber",
                   "With the last stamp on its counterfoil.",
                   ("papers:border", asked.tour.code))  # fmt: skip
    unlogged = [show for show in asked.shows if _unlogged(show, asked)]
    for show in unlogged:
        yield Line(f"log:{show.code}", f"Log {show}", "Hours and proofs of that night are missing.",
                   ("road:log_show", show.code))  # fmt: skip


def _unlogged(show, asked: Gathered) -> bool:
    state = getattr(show.subject, "state", None)
    return show.on < asked.today and (state is None or state.condition != "played")
