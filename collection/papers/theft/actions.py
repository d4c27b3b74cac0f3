"""Writing the file of a theft: tasks opened, handed to somebody, done; shops; finders' photos."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from collection.core.chronology import exact_instant
from collection.core.events.described import Described
from collection.core.theft_tasks import Planned, planned
from collection.custody import actions as custody
from collection.custody.filed.actions import file_paper
from collection.custody.models import Incident, Party
from collection.ledger.actions import as_told, open_book
from collection.ledger.book import Book
from collection.ledger.errors import LedgerError
from collection.ledger.presses import made_before, remember
from collection.ledger.telling import Telling
from collection.papers.theft.models import Shop, TheftTask
from collection.papers.theft.scene import Asked, scene_of
from registry.access.models import Collection, Membership

# A task that is done ticks the step of the first hour that asks for the same.
STEP_OF = {"police": "police", "venue": "security", "insurer": "insurer"}


def open_tasks(
    *, incident: Incident, by: Membership, asked: Asked, telling: Telling | None = None
) -> list[TheftTask]:
    """List every task that is not listed yet; asked again, only what is new is added."""
    scene = scene_of(incident, asked)
    with open_book(incident.collection, by) as book:
        there = set(TheftTask.objects.filter(incident=incident).values_list("key", "party__code"))
        wanted = [p for p in planned(scene) if (p.key, p.party or None) not in there]
        parties = {p.code: p for p in Party.objects.of(incident.collection)}
        at = _when(book, telling, incident)
        made = [_task(incident, one, parties, at) for one in wanted]
        if made:
            said = (("tasks", f"{len(made)} opened"),)
            book.append(Described(said=said), incident.code, as_told(book, telling))
        return TheftTask.objects.bulk_create(made)


def _task(incident: Incident, one: Planned, parties: dict[str, Party], now: datetime) -> TheftTask:
    return TheftTask(
        collection=incident.collection, incident=incident, key=one.key, what=one.what[:200],
        hint=one.hint[:240], party=parties.get(one.party), since=now, due_at=one.due_at,
        due_because=one.because,
    )  # fmt: skip


def add_task(
    *, incident: Incident, by: Membership, what: str, once: str = "", **known: Any
) -> None:
    """A task that no list knows; `known`: whose, due_at."""
    with open_book(incident.collection, by) as book:
        if made_before(incident.collection, once):
            return
        remember(incident.collection, once, what[:60])
        TheftTask.objects.create(
            collection=incident.collection, incident=incident, key="own", what=what,
            since=book.now, **known,
        )  # fmt: skip


def hand_task(*, task: TheftTask, by: Membership, whose: str, due_at: datetime | None) -> None:
    """Who does it, and by when."""
    with open_book(task.collection, by):
        if task.due_at != due_at:
            task.due_because = "put by hand" if due_at else ""
        task.whose, task.due_at = whose, due_at
        task.save(update_fields=["whose", "due_at", "due_because"])


def finish_task(
    *,
    task: TheftTask,
    by: Membership,
    paper: bytes | None = None,
    applies: bool = True,
    because: str = "",
    telling: Telling | None = None,
) -> TheftTask:
    """Done with a paper filed, or with a word why there is none, or why it does not apply."""
    if not paper and not because.strip():
        raise LedgerError("File the paper, or say why there is none.")
    with open_book(task.collection, by) as book:
        task = TheftTask.objects.select_for_update().get(pk=task.pk)
        if task.done_at is not None:
            return task
        if paper:
            title, who = task.what.split(":")[0], task.party.name if task.party else ""
            subject = task.incident.subject
            row = file_paper(
                subject=subject, by=by, title=title, content=paper, from_whom=who,
                telling=replace(telling, words=title, once=None) if telling else None,
            )  # fmt: skip
            task.paper = row
        task.applies, task.because = applies, because.strip()
        task.done_at, task.done_by = _when(book, telling, task.incident), by.code
        task.save()
        told = as_told(book, telling)
        book.append(Described(said=((_name(task), _how(task)),)), task.incident.code, told)
        _tick(task, by, telling)
        return task


def _when(book: Book, telling: Telling | None, incident: Incident) -> datetime:
    """When it was done: the moment told, else now."""
    told = telling.happened if telling else ""
    return (exact_instant(told, incident.collection.zone_info) if told else None) or book.now


def _name(task: TheftTask) -> str:
    return f"task {task.key} {task.party.code if task.party else ''}".strip()


def _how(task: TheftTask) -> str:
    if not task.applies:
        return "does not apply"
    return f"done, paper {task.paper.sha256}" if task.paper else "done, no paper"


def _tick(task: TheftTask, by: Membership, telling: Telling | None) -> None:
    step = STEP_OF.get(task.key, "")
    if task.key == "shop":
        left = TheftTask.objects.filter(incident=task.incident, key="shop", done_at=None).exists()
        step = "" if left else "notice"
    if step and task.applies:
        custody.tick(incident=task.incident, by=by, step=step, telling=telling)


def undo_task(*, task: TheftTask, by: Membership) -> None:
    """It was called done too early; what was filed stays filed."""
    with open_book(task.collection, by) as book:
        task.done_at, task.done_by, task.paper, task.because = None, "", None, ""
        task.applies = True
        task.save()
        book.append(Described(said=((_name(task), ""),)), task.incident.code, as_told(book, None))


def add_shop(
    *, collection: Collection, by: Membership, name: str, kind: str, town: Any, once: str = "",
    **reach: str,
) -> Shop:  # fmt: skip
    """A dealer, auction house or pawnshop in a town of the gazetteer; `reach`: phone, email."""
    with open_book(collection, by):
        does = Shop.Kind(kind).label
        made = {"collection": collection, "by": by, "name": name, "once": once}
        party = custody.add_party(**made, does=does, **reach)
        where = {"town": town.name, "country": town.country}
        where |= {"latitude": town.latitude, "longitude": town.longitude}
        shop, _ = Shop.objects.get_or_create(
            party=party, defaults={"collection": collection, "kind": kind, **where}
        )
        return shop
