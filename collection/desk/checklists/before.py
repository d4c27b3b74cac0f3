"""Before a tour: what the book wants done, piece by piece and paper by paper, and why."""

from collections.abc import Iterator
from datetime import date

from django.db.models import Q

from collection.bench.safety.queries import tested
from collection.catalogue.models import Piece
from collection.core.entry import UNKNOWN_US
from collection.core.state import State, from_json
from collection.core.working import working
from collection.desk.checklists.gathered import Gathered, named, worded
from collection.desk.checklists.line import Group, Line
from collection.ledger.models import Event
from collection.ledger.queries import superseded
from collection.papers.insurance.on_tour import covers
from collection.papers.insurance.queries import covering, policies
from collection.papers.permits.queries import certificates
from collection.road.carnet.models import Carnet
from collection.road.figures import rules_of
from collection.road.mains.queries import misfits_at, table
from collection.stock import queries as stock
from collection.stock.bookings import planned
from collection.stock.pages import all_types

WITH_PROOF = ("instrument", "amplifier", "cabinet", "effect", "microphone")
PICTURES = (("front", "a photo of the front"), ("serial", "a photo of the serial"))


def groups(asked: Gathered) -> tuple[Group, ...]:
    """Every reason that has a line."""
    found = (
        Group("Broken or barred", tuple(_broken(asked))),
        Group("Works: proof that is stale", tuple(_stale(asked)),
              "A sheet says when it was tried last; a show without trouble counts."),
        Group("No backup", tuple(_bare(asked))),
        Group("Mains safety", tuple(_safety(asked)),
              "The interval is yours; local code and licensed practice decide."),
        Group("Due before the last show", tuple(_due(asked))),
        Group("Spares for so many shows", tuple(_spares(asked))),
        Group("Mains along the route", tuple(_mains(asked))),
        Group("What goes with it is missing", tuple(_without(asked))),
        Group("Papers", tuple(_papers(asked)),
              "Information, not legal advice; ask the issuing office."),
        Group("If it were stolen tomorrow", tuple(_pictures(asked))),
    )  # fmt: skip
    return tuple(group for group in found if group.lines)


def _state(piece: Piece) -> State:
    row = getattr(piece.subject, "state", None)
    return from_json(row.detail) if row else State()


def _broken(asked: Gathered) -> Iterator[Line]:
    for piece in asked.gone:
        words = _state(piece).standing.replace("_", " ")
        yield Line(f"gone:{piece.code}", named(piece), f"The book has it as {words}.",
                   ("desk:piece", piece.code))  # fmt: skip
    for piece in asked.pieces:
        state = _state(piece)
        if state.tag:
            yield Line(f"tag:{piece.code}", named(piece), f"DO NOT POWER: {state.tag.reason}.",
                       ("desk:piece", piece.code))  # fmt: skip
        for code in state.open_faults:
            words = dict(state.faults)[code].replace("-", " ")
            yield Line(f"fault:{code}", named(piece), f"Fault {code} is {words}.",
                       ("bench:fault", code))  # fmt: skip


def _stale(asked: Gathered) -> Iterator[Line]:
    for piece in asked.of_kind(*WITH_PROOF):
        found = working(_state(piece), today=asked.today)
        if found.verdict in ("unproven", "told", "unknown"):
            yield Line(f"stale:{piece.code}", f"Try {named(piece)}", found.sentence,
                       ("bench:record_kind", piece.code, "inspected"))  # fmt: skip


def _bare(asked: Gathered) -> Iterator[Line]:
    for row in asked.positions:
        if row.piece and row.backup is None:
            fallback = (
                f"Written fallback: {row.fallback}." if row.fallback else "No fallback either."
            )
            yield Line(f"bare:{row.number}", str(row), f"Nothing stands behind it. {fallback}",
                       ("road:cover", asked.tour.code))  # fmt: skip


def _safety(asked: Gathered) -> Iterator[Line]:
    travels = {piece.pk for piece in asked.pieces}
    for one in tested(asked.collection, today=asked.today):
        if one.piece.pk not in travels:
            continue
        ends = one.by is not None and one.by <= asked.tour.ends_on
        if one.standing in ("over", "never") or ends:
            since = f"passed {worded(one.passed_on)}" if one.passed_on else "no pass in the book"
            by = f"; due {worded(one.by)}" if one.by else ""
            yield Line(f"safety:{one.piece.code}", f"Test {named(one.piece)}", f"{since}{by}.",
                       ("bench:record_kind", one.piece.code, "safety_tested"))  # fmt: skip


def _due(asked: Gathered) -> Iterator[Line]:
    for one in asked.due:
        by = f", by {worded(one.due.by)}" if one.due.by else ""
        yield Line(f"due:{one.piece.code}:{one.plan.pk}", f"{named(one.piece)}: {one.plan.what}",
                   f"{one.due.words}{by}.", ("desk:piece", one.piece.code))  # fmt: skip


def _spares(asked: Gathered) -> Iterator[Line]:
    bookings = planned(asked.collection, asked.today)
    if not any(one.code == asked.tour.code for one in bookings):
        return
    seen = all_types(stock.shelf(asked.collection), today=asked.today, bookings=bookings)
    for card in seen["cards"]:
        for one in card.tours:
            if one.booking.code == asked.tour.code and one.endangered:
                why = f"Every position fed to the last show: a chance of {one.said} in 100."
                yield Line(f"spares:{card.stock.name}", f"More {card.stock.name}", why,
                           ("stock:type", card.stock.name))  # fmt: skip


def _mains(asked: Gathered) -> Iterator[Line]:
    rules, supplies = rules_of(asked.collection), table(asked.collection)
    told: dict[tuple[str, str], str] = {}
    for show in asked.shows:
        if show.mains_volts is None and show.venue.country not in supplies:
            yield Line(f"mains:{show.number}", f"Ask about the mains at {show}",
                       "Nobody has said volts and hertz.", ("road:show", show.code))  # fmt: skip
        for code, sentence in misfits_at(show, asked.positions, rules):
            told.setdefault((code, sentence), str(show))
    for (code, sentence), first in told.items():
        yield Line(f"mains:{code}", sentence, f"First at {first}.", ("desk:piece", code))


def _without(asked: Gathered) -> Iterator[Line]:
    """What the last entry that counted it says did not come along."""
    rows = Event.objects.of(asked.collection).filter(
        Q(kind="moved") | Q(kind="returned") | Q(kind="back_from_repair"), ~superseded(),
        subject__in=[piece.pk for piece in asked.pieces if piece.goes_with],
    )  # fmt: skip
    newest = {event.subject_id: event for event in rows.order_by("placed_us", "sequence")}
    for piece in asked.pieces:
        event = newest.get(piece.pk)
        if event and event.placed_us != UNKNOWN_US and (gone := _not_along(event)):
            yield Line(f"along:{piece.code}", f"{named(piece)}: {gone}",
                       "It was not there when it was counted last.",
                       ("ledger:entry", str(event.sequence)))  # fmt: skip


def _not_along(event: Event) -> str:
    pairs = event.facts.get("came_with", ())
    missing = [what for what, answer in pairs if answer == "missing"]
    if event.kind == "moved" and "Without " in event.words:
        missing.append(event.words.split("Without ", 1)[1].split(".", 1)[0])
    return ", ".join(missing)


def _papers(asked: Gathered) -> Iterator[Line]:
    yield from _carnet(asked)
    yield from _cover(asked)
    for row in certificates(asked.collection).filter(piece__in=asked.pieces):
        if row.expires_on <= asked.tour.ends_on:
            yield Line(f"certificate:{row.code}", f"Certificate of {named(row.piece)}",
                       f"Ends {worded(row.expires_on)}, before the tour does.",
                       ("papers:certificate", row.code))  # fmt: skip


def _carnet(asked: Gathered) -> Iterator[Line]:
    tour = asked.tour
    if not tour.carnet:
        return
    row = Carnet.objects.of(asked.collection).filter(tour=tour).first()
    link = ("papers:border", tour.code)
    if row is None or not row.issued:
        yield Line("carnet:none", "Carnet", "It covers the tour and is not issued yet.", link)
    elif row.valid_until and row.valid_until < tour.ends_on:
        why = f"Valid until {worded(row.valid_until)}, before the tour ends."
        yield Line("carnet:ends", f"Carnet {row.number or row.code}", why, link)
    for piece in asked.pieces:
        if piece.pk not in asked.on_carnet:
            yield Line(f"carnet:{piece.code}", named(piece), "Goes along and is not on the carnet.",
                       ("road:tour", tour.code))  # fmt: skip


def _cover(asked: Gathered) -> Iterator[Line]:
    tour, begins = asked.tour, max(asked.tour.starts_on, asked.today)
    for one in covers([tour], policies(asked.collection)):
        for days, words in (
            (one.late, "outside of its days"),
            (one.abroad, "outside its countries"),
        ):
            if days:
                yield Line(f"policy:{one.policy.code}:{words[-4:]}", f"Policy {one.policy}",
                           f"{len(days)} stop{'s' if len(days) > 1 else ''} {words}, first "
                           f"{worded(min(on for on, _ in days))}.",
                           ("papers:policy", one.policy.code))  # fmt: skip
    if not policies(asked.collection).exists():
        return
    insured = _insured(asked, begins)
    for piece in asked.pieces:
        if piece.pk not in insured:
            yield Line(f"insure:{piece.code}", named(piece), "Stands under no policy.",
                       ("papers:values", piece.code))  # fmt: skip


def _insured(asked: Gathered, on: date) -> set[int]:
    return set(covering(asked.collection, on).values_list("piece_id", flat=True))


def _pictures(asked: Gathered) -> Iterator[Line]:
    for piece in asked.pieces:
        missing = [words for view, words in PICTURES if (piece.pk, view) not in asked.views]
        missing += [] if piece.serial else ["the serial, or that there is none"]
        if missing:
            yield Line(f"picture:{piece.code}", named(piece), f"Missing: {', '.join(missing)}.",
                       ("catalogue:add_photo", piece.code))  # fmt: skip
