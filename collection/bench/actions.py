"""Writing at the bench: faults, repairs, checks, care, DO NOT POWER."""

from collections.abc import Iterable

from collection.bench.models import Fault
from collection.catalogue.models import Piece
from collection.core.events.fault_settled import FaultSettled
from collection.core.events.faulted import Faulted
from collection.core.events.inspected import Inspected
from collection.core.events.kind import Kind
from collection.core.events.modified import Modified
from collection.core.events.repaired import Repaired
from collection.core.events.safety_tested import SafetyTested
from collection.core.events.serviced import Serviced
from collection.core.events.tag_lifted import TagLifted
from collection.core.events.tagged_out import TaggedOut
from collection.ledger.actions import as_told, open_book, withdraw
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from registry.access.models import Collection, Membership


def fault(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    symptom: str = "",
    when_hot: str = "",
    after_minutes: int | None = None,
    intermittent: bool = False,
    fault: Fault | None = None,
    telling: Telling | None = None,
) -> Fault:
    """A piece misbehaves; with `fault` given, that one is back."""
    with open_book(collection, by) as book:
        telling = as_told(book, telling)
        before = book.sent_before(telling.once)
        if before is not None:
            return Fault.objects.of(collection).get(code=before.names["fault"])
        again = fault is not None
        if fault is None:
            piece = Piece.objects.of(collection).get(code=code)
            subject = book.new_subject("fault")
            fault = Fault.objects.create(
                subject=subject,
                collection=collection,
                code=subject.code,
                piece=piece,
                symptom=symptom,
            )
        facts = Faulted(
            fault=fault.code,
            symptom=symptom or fault.symptom,
            when_hot=when_hot,
            after_minutes=after_minutes,
            intermittent=intermittent,
            again=again,
        )
        book.append(facts, code, telling)
        return fault


def settle_fault(
    *,
    collection: Collection,
    by: Membership,
    fault: Fault,
    outcome: str,
    telling: Telling | None = None,
) -> Event:
    """How a fault ended: not-reproduced, fixed, no-fault, proven."""
    facts = FaultSettled(fault=fault.code, outcome=outcome)
    return _write(collection, by, fault.piece.code, facts, telling)


def repair(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    what: str,
    by_whom: str = "",
    told_by: str = "",
    fault: str = "",
    removed_kept: str = "",
    telling: Telling | None = None,
) -> Event:
    """Something was mended; the piece is unproven until somebody proves it."""
    facts = Repaired(
        what=what, by_whom=by_whom, told_by=told_by, fault=fault, removed_kept=removed_kept
    )
    return _write(collection, by, code, facts, telling)


def modify(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    what: str,
    before: str = "",
    afterwards: str = "",
    reversible: str = "unknown",
    removed_part: str = "",
    telling: Telling | None = None,
) -> Event:
    """A piece was made different from what it was."""
    facts = Modified(
        what=what,
        before=before,
        afterwards=afterwards,
        reversible=reversible,
        removed_part=removed_part,
    )
    return _write(collection, by, code, facts, telling)


def inspect(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    level: str,
    result: str = "works",
    minutes: int | None = None,
    mains_volts: str = "",
    telling: Telling | None = None,
) -> Event:
    """Somebody tried whether it works: powered, played-hot, bench-checked."""
    facts = Inspected(level=level, result=result, minutes=minutes, mains_volts=mains_volts)
    return _write(collection, by, code, facts, telling)


def serve(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    what: str,
    detail: str = "",
    telling: Telling | None = None,
) -> Event:
    """Regular care that changes nothing about the piece: strings, cleaning."""
    return _write(collection, by, code, Serviced(what=what, detail=detail), telling)


def tag_out(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    reason: str,
    check: str = "",
    proposed: bool = False,
    telling: Telling | None = None,
) -> Event:
    """Hang DO NOT POWER, with the check that lifts it."""
    facts = TaggedOut(reason=reason, check=check or TaggedOut.check, proposed=proposed)
    return _write(collection, by, code, facts, telling)


def lift_tag(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    check: str,
    result: str = "passed",
    by_whom: str = "",
    telling: Telling | None = None,
) -> Event:
    """Take DO NOT POWER off after its check; raises PlanRefused with every reason against it."""
    facts = TagLifted(check=check, by_whom=by_whom, result=result)
    return _write(collection, by, code, facts, telling)


def safety_test(
    *,
    collection: Collection,
    by: Membership,
    code: str,
    passed: bool,
    earth_ohms: str = "",
    insulation_megohms: str = "",
    cord: str = "",
    fuse: str = "",
    tester: str = "",
    lifts_tag: bool = False,
    telling: Telling | None = None,
) -> Event:
    """Mains safety was tested; readings are decimals in ohms and megohms, as text."""
    facts = SafetyTested(
        passed=passed,
        earth_ohms=earth_ohms,
        insulation_megohms=insulation_megohms,
        cord=cord,
        fuse=fuse,
        tester=tester,
        lifts_tag=lifts_tag,
    )
    return _write(collection, by, code, facts, telling)


def hang_proposed(*, collection: Collection, by: Membership, proposed: Iterable[Event]) -> int:
    """Hang every tag that an import proposed, for the same reasons, in one act."""
    with open_book(collection, by):
        hung = [
            tag_out(
                collection=collection,
                by=by,
                code=event.subject.code,
                reason=event.facts["reason"],
                check=event.facts["check"],
            )
            for event in proposed
        ]
    return len(hung)


def drop_proposed(*, collection: Collection, by: Membership, proposed: Iterable[Event]) -> int:
    """Take proposed tags back, in one act; the words they were read from stay in the notes."""
    because = "proposed from imported words; a person read them and hung no tag"
    with open_book(collection, by):
        dropped = [
            withdraw(collection=collection, by=by, event=event, because=because)
            for event in proposed
        ]
    return len(dropped)


def _write(
    collection: Collection, by: Membership, code: str, facts: Kind, telling: Telling | None
) -> Event:
    with open_book(collection, by) as book:
        return book.append(facts, code, as_told(book, telling))
