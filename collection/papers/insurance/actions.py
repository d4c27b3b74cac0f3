"""Writing policies, what they cover, values, and nights of trucks."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from collection.catalogue.models import Piece
from collection.core.date_sentence import day_words
from collection.core.events.documented import Documented
from collection.core.events.noted import Noted
from collection.core.events.valued import Valued
from collection.core.insurance import TERMS
from collection.custody.models import Party, Place
from collection.ledger.actions import as_told, open_book
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.presses import made_before, remember
from collection.ledger.telling import Telling
from collection.papers.insurance import values
from collection.papers.insurance.models import Insured, Policy, TruckNight
from registry.access.models import Collection, Membership

NIGHT = "overnight stop"
POLICY = "policy"


def add_policy(
    *, collection: Collection, by: Membership, insurer: Party, code: str = "", once: str = "",
    telling: Telling | None = None, **paper: Any,
) -> Policy:  # fmt: skip
    """A policy was taken; `paper`: the columns of Policy."""
    with open_book(collection, by) as book:
        if made := made_before(collection, once):
            return Policy.objects.of(collection).get(code=made)
        subject = book.new_subject("policy", code)
        known = {"currency": collection.currency} | paper
        policy = Policy.objects.create(
            subject=subject, collection=collection, code=subject.code, insurer=insurer, **known
        )
        telling = as_told(book, telling)
        facts = Documented(
            what="other", dated=f"{policy.begins_on}", piece_in_it=False,
            shows=f"policy until {policy.ends_on}",
        )  # fmt: skip
        book.append(facts, policy.code, replace(telling, source="document"))
        remember(collection, once, policy.code)
        return policy


def change_policy(*, policy: Policy, by: Membership, **paper: Any) -> Policy:
    """Write its paper anew; the book says which lines changed, never an amount."""
    changed = [name for name, value in paper.items() if getattr(policy, name) != value]
    if not changed:
        return policy
    with open_book(policy.collection, by) as book:
        for name in changed:
            setattr(policy, name, paper[name])
        policy.save(update_fields=changed)
        lines = ", ".join(str(Policy._meta.get_field(name).verbose_name) for name in changed)
        telling = as_told(book, Telling(source="document", words=f"Written anew: {lines}."))
        book.append(Noted(about=POLICY), policy.code, telling)
        return policy


def insure(*, policy: Policy, by: Membership, codes: Iterable[str], on: date) -> tuple[int, int]:
    """From a day on these pieces, and no others, stand under it: how many came, how many went.

    Raises PlanRefused for a piece that another policy covers, and for a day outside its period.
    """
    wanted = set(codes)
    with open_book(policy.collection, by) as book:
        held = {row.piece.code: row for row in _held(policy)}
        new = Piece.objects.of(policy.collection).filter(code__in=wanted - held.keys())
        new = list(new.order_by("code"))
        _end_expired(new, on)
        if reasons := _against(policy, new, on):
            raise PlanRefused(reasons)
        for row in (row for code, row in held.items() if code not in wanted):
            _end(row, on)
        Insured.objects.bulk_create([Insured(policy=policy, piece=p, since=on) for p in new])
        gone = sorted(held.keys() - wanted)
        if new or gone:
            words = _schedule_words([piece.code for piece in new], gone, on)
            book.append(Noted(about=POLICY), policy.code, as_told(book, Telling(words=words)))
        return len(new), len(gone)


def _held(policy: Policy) -> Iterable[Insured]:
    return Insured.objects.filter(policy=policy, until__isnull=True).select_related("piece")


def _end(row: Insured, on: date) -> None:
    """A cover ends on a day; one that would end before it began never was."""
    if on <= row.since:
        row.delete()
        return
    row.until = on
    row.save(update_fields=["until"])


def _end_expired(new: list[Piece], on: date) -> None:
    """A cover under a policy that is over ended with it: a renewal takes its pieces along."""
    over = Insured.objects.filter(piece__in=new, until__isnull=True, policy__ends_on__lt=on)
    for row in over.select_related("policy"):
        _end(row, row.policy.ends_on + timedelta(days=1))


def _against(policy: Policy, new: list[Piece], on: date) -> tuple[str, ...]:
    if new and not policy.begins_on <= on <= policy.ends_on:
        period = f"{day_words(policy.begins_on)} to {day_words(policy.ends_on)}"
        return (f"The policy runs from {period}.",)
    elsewhere = Insured.objects.filter(piece__in=new).exclude(until__lte=on)
    return tuple(
        f"{row.piece.code} stands under {row.policy.code} already; take it out there first."
        for row in elsewhere.select_related("piece", "policy")
    )


def _schedule_words(came: list[str], went: list[str], on: date) -> str:
    put = f"Put on the schedule: {', '.join(came)}. " if came else ""
    out = f"Taken off: {', '.join(went)}. " if went else ""
    return f"{put}{out}From {day_words(on)}."


def value(
    *, collection: Collection, by: Membership, code: str, value_minor: int, currency: str,
    basis: str, telling: Telling | None = None,
) -> Event:  # fmt: skip
    """A piece was valued: into the book, and onto its page when nothing newer is known.

    The valuer stands as who said so, which can be taken out of the book again; a fact could not.
    """
    with open_book(collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return before
        if value_minor < 0:
            raise LedgerError("A value is not below nought.")
        piece = Piece.objects.of(collection).get(code=code)
        event = book.append(Valued(value_minor, currency, basis), code, telling)
        newer = values.entries(collection).filter(
            subject=piece.subject, placed_us__gt=event.placed_us
        )
        if not newer.exists():
            piece.value_minor, piece.value_currency = value_minor, currency
            piece.save(update_fields=["value_minor", "value_currency"])
        return event


def write_night(
    *, collection: Collection, by: Membership, truck: Place, where: str, since: datetime,
    until: datetime | None, said: Mapping[str, str], with_it: str = "",
    telling: Telling | None = None,
) -> TruckNight:  # fmt: skip
    """Where a truck stood; what somebody saw is kept whatever the terms say.

    `since`, `until`: aware, in the zone of the clock on the wall there.
    """
    if until is not None and until <= since:
        raise LedgerError("It left before it came.")
    with open_book(collection, by) as book:
        telling = as_told(book, telling)
        if before := book.sent_before(telling.once):
            return TruckNight.objects.of(collection).get(entry=before.sequence)
        words = _night_words(where, since, until, said)
        told = replace(telling, happened=since.isoformat(timespec="seconds"))
        told = replace(told, words=" ".join(filter(None, (words, telling.words))))
        event = book.append(Noted(about=NIGHT), truck.code, told)
        return TruckNight.objects.create(
            collection=collection, truck=truck, where=where, since=since, until=until,
            zone=str(since.tzinfo), said=dict(said), with_it=with_it, entry=event.sequence,
            by=by.code,
        )  # fmt: skip


def _night_words(
    where: str, since: datetime, until: datetime | None, said: Mapping[str, str]
) -> str:
    left = f" until {until:%H:%M}" if until else ""
    kept = [f"{TERMS[key]}: {answer}" for key, answer in said.items() if key in TERMS]
    how = f" {'; '.join(kept).capitalize()}." if kept else ""
    return f"Stood at {where} from {since:%H:%M}{left}.{how}"
