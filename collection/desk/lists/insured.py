"""What is insured, as a list."""

from collections.abc import Iterator

from django.utils.dateparse import parse_date

from collection.custody.whereabouts import whereabouts
from collection.desk.lists.gear import money
from collection.desk.lists.listing import Asked, Column, Listing
from collection.papers.insurance.queries import schedules
from collection.papers.insurance.schedule import Line


def _insured(asked: Asked) -> Iterator[Line]:
    """A row a piece, on the day asked for, of one policy or of all; nothing for who may not look.

    What is insured where is as confidential as what it is worth.
    """
    if not asked.member.records:
        return
    try:
        on = parse_date(asked.query.get("on", "")) or asked.today
    except ValueError:
        on = asked.today
    wanted = asked.query.get("policy", "")
    known = whereabouts(asked.member)
    for one in schedules(asked.member.collection, known, on=on, today=asked.today):
        if wanted in ("", one.policy.code):
            yield from one.lines


INSURED = Listing(
    "insured",
    "Insured pieces",
    (
        Column("policy", lambda line: line.row.policy.code),
        Column("policy number", lambda line: line.row.policy.number, confidential=True),
        Column("insurer", lambda line: line.row.policy.insurer.name),
        Column("piece", lambda line: line.piece.code),
        Column("called", lambda line: line.piece.called),
        Column("maker", lambda line: str(line.piece.maker or "")),
        Column("serial", lambda line: line.piece.serial),
        Column("owner", lambda line: line.owner),
        Column("covered since", lambda line: line.row.since),
        Column(
            "value",
            lambda line: money(line.value.minor, line.value.currency) if line.value else None,
            confidential=True,
        ),
        Column("currency", lambda line: line.value.currency if line.value else "",
               confidential=True),
        Column("basis", lambda line: line.value.basis if line.value else "", confidential=True),
        Column("valued on", lambda line: line.value.on if line.value else None, confidential=True),
        Column("valuer", lambda line: line.value.valuer if line.value else "", confidential=True),
        Column("to look at", lambda line: "; ".join(line.findings), confidential=True),
    ),
    _insured,
)  # fmt: skip
