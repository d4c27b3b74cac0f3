"""The table of kinds, written by hand; adding a kind costs no migration."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from collection.core.events.acquired import Acquired
from collection.core.events.answered import Answered
from collection.core.events.approved import Approved
from collection.core.events.arrived import Arrived
from collection.core.events.asked import Asked
from collection.core.events.back_from_repair import BackFromRepair
from collection.core.events.booked_in import BookedIn
from collection.core.events.cleared import Cleared
from collection.core.events.counted import Counted
from collection.core.events.described import Described
from collection.core.events.diagnosed import Diagnosed
from collection.core.events.died import Died
from collection.core.events.died_in_use import DiedInUse
from collection.core.events.disposed import Disposed
from collection.core.events.documented import Documented
from collection.core.events.extended import Extended
from collection.core.events.fault_settled import FaultSettled
from collection.core.events.faulted import Faulted
from collection.core.events.fitted import Fitted
from collection.core.events.found_again import FoundAgain
from collection.core.events.handed_over import HandedOver
from collection.core.events.hired_back import HiredBack
from collection.core.events.hired_in import HiredIn
from collection.core.events.inspected import Inspected
from collection.core.events.issued import Issued
from collection.core.events.kept_out import KeptOut
from collection.core.events.kind import Kind
from collection.core.events.lent import Lent
from collection.core.events.matched import Matched
from collection.core.events.measured import Measured
from collection.core.events.meter_read import MeterRead
from collection.core.events.modified import Modified
from collection.core.events.moved import Moved
from collection.core.events.not_found import NotFound
from collection.core.events.noted import Noted
from collection.core.events.originality_checked import OriginalityChecked
from collection.core.events.parted import Parted
from collection.core.events.photographed import Photographed
from collection.core.events.played import Played
from collection.core.events.pulled import Pulled
from collection.core.events.quoted import Quoted
from collection.core.events.received import Received
from collection.core.events.recovered import Recovered
from collection.core.events.redacted import Redacted
from collection.core.events.released import Released
from collection.core.events.removed import Removed
from collection.core.events.repaired import Repaired
from collection.core.events.returned import Returned
from collection.core.events.safety_tested import SafetyTested
from collection.core.events.sealed import Sealed
from collection.core.events.sent_to_repair import SentToRepair
from collection.core.events.serviced import Serviced
from collection.core.events.set_up import SetUp
from collection.core.events.settings_noted import SettingsNoted
from collection.core.events.shipped import Shipped
from collection.core.events.sighted import Sighted
from collection.core.events.slip_noted import SlipNoted
from collection.core.events.sold import Sold
from collection.core.events.stocktake_signed import StocktakeSigned
from collection.core.events.stocktaken import Stocktaken
from collection.core.events.stolen import Stolen
from collection.core.events.stripped_for_parts import StrippedForParts
from collection.core.events.tag_lifted import TagLifted
from collection.core.events.tagged_out import TaggedOut
from collection.core.events.tested import Tested
from collection.core.events.title_changed import TitleChanged
from collection.core.events.title_settled import TitleSettled
from collection.core.events.told_working import ToldWorking
from collection.core.events.valued import Valued
from collection.core.events.withdrawn import Withdrawn
from collection.core.events.written_off import WrittenOff

KINDS: dict[str, type[Kind]] = {
    kind.kind: kind
    for kind in (
        Acquired,
        Answered,
        Approved,
        Arrived,
        Asked,
        BackFromRepair,
        BookedIn,
        Cleared,
        Counted,
        Described,
        Diagnosed,
        Died,
        DiedInUse,
        Disposed,
        Documented,
        Extended,
        FaultSettled,
        Faulted,
        Fitted,
        FoundAgain,
        HandedOver,
        HiredBack,
        HiredIn,
        Inspected,
        Issued,
        KeptOut,
        Lent,
        Matched,
        Measured,
        MeterRead,
        Modified,
        Moved,
        NotFound,
        Noted,
        OriginalityChecked,
        Parted,
        Photographed,
        Played,
        Pulled,
        Quoted,
        Received,
        Recovered,
        Redacted,
        Released,
        Removed,
        Repaired,
        Returned,
        SafetyTested,
        Sealed,
        SentToRepair,
        Serviced,
        SetUp,
        SettingsNoted,
        Shipped,
        Sighted,
        SlipNoted,
        Sold,
        Stocktaken,
        StocktakeSigned,
        Stolen,
        StrippedForParts,
        TagLifted,
        TaggedOut,
        Tested,
        TitleChanged,
        TitleSettled,
        ToldWorking,
        Valued,
        Withdrawn,
        WrittenOff,
    )
}


class UnknownKind(ValueError):
    """The book names a kind that this version does not have."""


def facts_of(kind: str, facts: Mapping[str, Any], version: int = 1) -> Kind:
    """The kind's dataclass from stored facts; raises UnknownKind."""
    if kind not in KINDS:
        raise UnknownKind(f"no kind of event is called {kind!r}")
    return KINDS[kind].from_facts(facts, version)


def choices() -> list[tuple[str, str]]:
    """(kind, words) pairs for form fields and model choices."""
    return [(kind, kind.replace("_", " ")) for kind in sorted(KINDS)]
