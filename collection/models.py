"""Every model of the domain, imported where Django looks for them."""

from collection.bench.due.models import ServicePlan
from collection.bench.jobs.models import Job
from collection.bench.models import Fault
from collection.catalogue.models import Circuit, Design, ImportRun, Maker, Photo, Piece, Position
from collection.custody.cases.models import CaseSheet, KitLine
from collection.custody.freight.models import Shipment
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.models import Incident, Party, Place, Town
from collection.custody.stocktake.models import CountMark, Stocktake
from collection.desk.monthly.models import SealReader
from collection.desk.post.models import Enclosure, Letter
from collection.ledger.models import Branch, Event, Head, Mention, Press, State, Subject
from collection.papers.models import PaperMade
from collection.road.carnet.models import CarnetOverride
from collection.road.doors.models import DoorCount, DoorTap, WalkList, WalkTick
from collection.road.mains.models import CountryMains
from collection.road.models import (
    Died,
    OutsideCandidate,
    RigPosition,
    RoadQuote,
    Session,
    Show,
    Tour,
    TransitFigures,
    Travelling,
)
from collection.road.overrides.models import PositionOverride
from collection.road.songs.models import SetListEntry, Song
from collection.road.wanted.models import Wanted
from collection.stock.matching.models import MatchRule
from collection.stock.models import Lot, Outlook, Part, PartType, PullChoice
from collection.stock.ways.models import ThriftPlan

__all__ = [
    "Branch",
    "CarnetOverride",
    "CaseSheet",
    "Circuit",
    "CountMark",
    "CountryMains",
    "Design",
    "Died",
    "DoorCount",
    "DoorTap",
    "Enclosure",
    "Event",
    "Fault",
    "Head",
    "ImportRun",
    "Incident",
    "Job",
    "KitLine",
    "Letter",
    "Loan",
    "LoanedPiece",
    "Lot",
    "Maker",
    "MatchRule",
    "Mention",
    "Outlook",
    "OutsideCandidate",
    "PaperMade",
    "Part",
    "PartType",
    "Party",
    "Photo",
    "Piece",
    "Place",
    "Position",
    "PositionOverride",
    "Press",
    "PullChoice",
    "RigPosition",
    "RoadQuote",
    "SealReader",
    "ServicePlan",
    "Session",
    "SetListEntry",
    "Shipment",
    "Show",
    "Song",
    "State",
    "Stocktake",
    "Subject",
    "ThriftPlan",
    "Tour",
    "Town",
    "TransitFigures",
    "Travelling",
    "WalkList",
    "WalkTick",
    "Wanted",
]
