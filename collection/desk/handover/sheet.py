"""The handover as a sheet of lines, in the order in which somebody new asks."""

from datetime import datetime

from collection.core.date_sentence import day_words
from collection.custody.models import Party
from collection.desk.handover import queries
from collection.desk.lined import Heading, Lined, heading
from registry.access.models import Membership

OPEN_FIRST = ("broken", "odd", "plan")  # what a phone shows without a press


def handover(member: Membership, *, now: datetime, signs: tuple[Party | None, ...] = ()) -> Lined:
    """The document as of now; `signs`: who hands over and who takes over."""
    collection = member.collection
    today = now.astimezone(collection.zone_info).date()
    given = queries.handovers(member)
    last = given[0] if given else None
    lead = f"Last one: {last.sentence} {last.when}." if last else "Nobody has handed over yet."
    names = [party.name if party else "" for party in signs] or ["", ""]
    labels = ("Handed over by, day and hour", "Taken over by, day and hour")
    return Lined(
        name="Handover",
        code=day_words(today),
        title=f"{collection.name}: handover",
        lead=(lead,),
        headings=(*_gear(member, now), *_open_ends(member, now), *_people(member, last)),
        signs=tuple(zip(labels, names, strict=True)),
    )


def _gear(member: Membership, now: datetime) -> tuple[Heading, ...]:
    collection, rig = member.collection, queries.rig(member, now=now)
    today = now.astimezone(collection.zone_info).date()
    return (
        heading("broken", "Broken now", queries.broken(collection), "Nothing is known broken."),
        heading("odd", "Odd but normal", queries.odd(collection),
                "No note is marked so; the form of a note has a box for it."),
        heading("plan", "Rig plan, with fallbacks", queries.plan(rig), "No tour is planned."),
        heading("settings", "Settings that worked", queries.settings(rig), "No tour is planned."),
        heading("spares", "Spares, and where", queries.spares(collection),
                "Nothing is on the shelf."),
        heading("due", "Due by the next day off", queries.due(collection, today=today),
                "Nothing is due."),
    )  # fmt: skip


def _open_ends(member: Membership, now: datetime) -> tuple[Heading, ...]:
    collection = member.collection
    today = now.astimezone(collection.zone_info).date()
    return (
        heading(
            "loans", "Loans and hires", queries.loans(collection, today=today), "None is open."
        ),
        heading("jobs", "At repairers", queries.jobs(collection, today=today), "Nothing is away."),
        heading("coming", "On the way", queries.coming(collection, now=now), "Nothing."),
        heading("files", "Police and insurer files", queries.files(collection), "None is open."),
        heading("questions", "Questions", queries.questions(collection), "None is open."),
    )


def _people(member: Membership, last: queries.Handed | None) -> tuple[Heading, ...]:
    collection = member.collection
    since = f"Since {last.when}" if last else "Since the last handover"
    return (
        heading("keys", "Keys", queries.key_items(collection), "No key is written down.",
                "What opens what, and who has it. Codes never stand here; ask who knows them."),
        heading("telephones", "Telephone", queries.telephones(collection), "No number is known."),
        heading("since", since, queries.since(member, last), "Nothing changed."),
    )  # fmt: skip
