"""Every model of the domain, imported where Django looks for them."""

from collection.bench.due.models import ServicePlan
from collection.bench.jobs.models import Job
from collection.bench.models import Fault
from collection.catalogue.models import Circuit, Design, ImportRun, Maker, Photo, Piece, Position
from collection.custody.cases.models import CaseSheet, KitLine
from collection.custody.filed.models import FiledPaper
from collection.custody.freight.models import Shipment
from collection.custody.loans.models import Loan, LoanedPiece
from collection.custody.models import Incident, Party, Place, Town
from collection.custody.stocktake.models import CountMark, Stocktake
from collection.desk.checklists.models import ListTick
from collection.desk.handover.models import HeldKey
from collection.desk.monthly.models import SealReader
from collection.desk.post.models import Enclosure, Letter
from collection.ledger.models import Branch, Event, Head, Mention, Press, State, Subject
from collection.papers.borders.models import CarnetCrossing, ListedGoods
from collection.papers.insurance.models import Insured, Policy, TruckNight
from collection.papers.models import PaperMade
from collection.papers.permits.models import (
    CertificateCrossing,
    CertificateSpecies,
    InstrumentCertificate,
    PartMaterial,
    PermitRules,
    PieceAbroad,
)
from collection.papers.sharing.models import SharedPaper
from collection.papers.theft.models import Shop, TheftTask
from collection.road.carnet.models import Carnet, CarnetOverride
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
    "Carnet",
    "CarnetCrossing",
    "CarnetOverride",
    "CaseSheet",
    "CertificateCrossing",
    "CertificateSpecies",
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
    "FiledPaper",
    "Head",
    "HeldKey",
    "ImportRun",
    "Incident",
    "InstrumentCertificate",
    "Insured",
    "Job",
    "KitLine",
    "Letter",
    "ListTick",
    "ListedGoods",
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
    "PartMaterial",
    "PartType",
    "Party",
    "PermitRules",
    "Photo",
    "Piece",
    "PieceAbroad",
    "Place",
    "Policy",
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
    "SharedPaper",
    "Shipment",
    "Shop",
    "Show",
    "Song",
    "State",
    "Stocktake",
    "Subject",
    "TheftTask",
    "ThriftPlan",
    "Tour",
    "Town",
    "TransitFigures",
    "Travelling",
    "TruckNight",
    "WalkList",
    "WalkTick",
    "Wanted",
]
