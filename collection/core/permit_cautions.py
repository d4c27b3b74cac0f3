"""The thirteen cautions before a journey, each a function of the trip.

Sources: `core/permit.py`. Every one only warns: the authority decides. Information, not legal
advice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta

from collection.core.border import ends_too_early, months_after
from collection.core.date_sentence import day_words
from collection.core.permit import (
    MARGIN_DAYS,
    OLD_WOOD_UNTIL,
    Caution,
    Material,
    PieceOnTrip,
    Trip,
)
from collection.core.species import PERFORMING, stricter_in


def no_valid_certificate(trip: Trip) -> Iterator[Caution]:
    """1: a part of Appendix I, or listed without exemption, and no valid certificate for it.

    Source: Resolution Conf. 16.8; Appendix II without an exemption is added as a house rule.
    """
    for piece, material in _materials(trip):
        listing = material.listing
        if listing is None or not material.needs_paper:
            continue
        papers = trip.of_piece(piece.code)
        if not any(one.covers(material, on=max(trip.today, trip.starts_on)) for one in papers):
            words = f"{material.words}: Appendix {listing.appendix}. {listing.says}"
            yield _about(1, piece, "no valid certificate for a listed part", words)


def certificate_ends(trip: Trip) -> Iterator[Caution]:
    """2: a certificate that ends during the journey or within thirty days after it."""
    last = trip.home_on + timedelta(days=MARGIN_DAYS)
    for piece in _travelling(trip):
        for one in trip.of_piece(piece.code):
            if one.expires_on <= last:
                when = "ended" if one.expires_on < trip.today else "ends"
                words = (
                    f"Certificate {one.number} {when} on {day_words(one.expires_on)}; home on "
                    f"{day_words(trip.home_on)}. It must be back before the end, with "
                    f"{MARGIN_DAYS} days to spare."
                )
                yield _about(2, piece, "its certificate ends too early", words)


def acquired_after_listing(trip: Trip) -> Iterator[Caution]:
    """3: evidence later than the listing of an Appendix I species makes a certificate impossible.

    Source: Resolution Conf. 16.8; Regulation (EC) 865/2006, Article 44h.
    """
    for piece, material in _materials(trip):
        listing, got = material.listing, material.acquired_by
        if listing is None or listing.appendix != "I" or listing.listed_on is None or got is None:
            continue
        if got > listing.listed_on:
            words = (
                f"{material.words}: the evidence says {day_words(got)}, listed "
                f"{day_words(listing.listed_on)}. Older proof, or it stays at home."
            )
            yield _about(3, piece, "acquired after the listing", words)


def species_unknown(trip: Trip) -> Iterator[Caution]:
    """4: a species that nobody knows, or only by its name in the trade."""
    for piece, material in _materials(trip):
        if material.scientific or not material.natural:
            continue
        names = ", ".join(f"{row.names[0]} (Appendix {row.appendix})" for row in material.maybe)
        words = f"{material.words}: no scientific name."
        if names:
            words += f" It may be {names}."
        old = piece.built_to is None or piece.built_to <= OLD_WOOD_UNTIL
        if old and any(row.key == "brazilian-rosewood" for row in material.maybe):
            words += " Up to the 1960s, or undated: treat it as Dalbergia nigra until shown not."
        yield _about(4, piece, "species unknown", words)


def for_sale(trip: Trip) -> Iterator[Caution]:
    """5: a piece for sale or consigned loses what is free for non-commercial movement only.

    Source: Resolution Conf. 16.8; annotation #10.
    """
    for piece in _travelling(trip):
        touched = [
            m for m in piece.materials
            if m.maybe or m.needs_paper or (m.listing and m.listing.exempt == PERFORMING)
        ]  # fmt: skip
        if piece.for_sale and (touched or trip.of_piece(piece.code)):
            words = (
                "For sale or consigned: the exemption for performing is lost; sales need permits."
            )
            yield _about(5, piece, "for sale", words)


def in_other_hands(trip: Trip) -> Iterator[Caution]:
    """6: the holder of a certificate is not who travels with it, or it is handed over abroad.

    Source: the wording of box 23 (neither sold nor handed on outside the issuing state).
    """
    for piece in _travelling(trip):
        papers = trip.of_piece(piece.code)
        for one in papers:
            if one.holder.casefold() != trip.traveller.casefold():
                who = trip.traveller or "nobody is written down"
                words = f"Certificate {one.number} names {one.holder}; with it travels: {who}."
                yield _about(6, piece, "certificate holder and traveller differ", words)
        if piece.handed_over and (papers or any(m.needs_paper for m in piece.materials)):
            words = f"Handed over abroad: {piece.handed_over}. A certificate does not allow that."
            yield _about(6, piece, "handed over abroad", words)


def left_unstamped(trip: Trip) -> Iterator[Caution]:
    """7: an earlier crossing whose counterfoil or continuation sheet has no stamp."""
    for words in trip.unstamped:
        yield Caution(7, "", "an earlier crossing is not stamped", words)
    for one in trip.certificates:
        if one.unstamped:
            words = (
                f"Certificate {one.number}: {one.unstamped} crossing(s) without a stamp on the "
                "continuation sheet; without it the certificate is not valid."
            )
            yield Caution(7, one.piece, "a crossing of its certificate is not stamped", words)


def list_and_truck(trip: Trip) -> Iterator[Caution]:
    """8: it travels and is not on the carnet, or is on it without serial, weight, value, origin."""
    if not trip.needs_carnet:
        return
    for piece in trip.pieces:
        if piece.travels and not piece.on_carnet:
            yield _about(8, piece, "travels, not on the carnet", "It needs papers of its own.")
        elif piece.on_carnet and piece.incomplete:
            words = f"On the list without {', '.join(piece.incomplete)}."
            yield _about(8, piece, "its line on the carnet is not complete", words)


def carnet_ends(trip: Trip) -> Iterator[Caution]:
    """9: the carnet ends before the goods are home."""
    if trip.needs_carnet and ends_too_early(trip.valid_until, trip.home_on):
        until = day_words(trip.valid_until) if trip.valid_until else ""
        words = f"Valid until {until}, home on {day_words(trip.home_on)}. Ask for a replacement."
        yield Caution(9, "", "the carnet ends before the last re-import", words)


def loose_listed_wood(trip: Trip) -> Iterator[Caution]:
    """10: spare parts or blanks of listed wood that travel loose.

    Source: annotation #15, definitions: blanks and veneer are not finished parts.
    """
    for piece, material in _materials(trip):
        if material.loose and (material.listing or material.maybe):
            words = f"{material.words}, loose. Blanks are not exempt; a finished part may be."
            yield _about(10, piece, "a loose part of listed material", words)


def replaced_since_issue(trip: Trip) -> Iterator[Caution]:
    """11: a tube or part replaced since the carnet was issued."""
    for piece in trip.pieces:
        if piece.on_carnet and piece.replaced:
            said = "; ".join(piece.replaced)
            words = f"{said}. Keep the log with the carnet: what was listed must come back."
            yield _about(11, piece, "parts replaced since the carnet was issued", words)


def stricter_country(trip: Trip) -> Iterator[Caution]:
    """12: the journey enters a territory with stricter law for what is in a piece."""
    for piece, material in _materials(trip):
        rows = (material.listing,) if material.listing else material.maybe
        for row in rows:
            for one in stricter_in(trip.territories, row.key):
                words = f"{material.words}: {one.says} As of {day_words(one.as_of)}."
                yield _about(12, piece, f"stricter law in {one.territory}", words)


def data_too_old(trip: Trip) -> Iterator[Caution]:
    """13: the table is older than the collection allows, or than the last conference."""
    if trip.as_of < trip.last_conference:
        words = (
            f"As of {day_words(trip.as_of)}; a conference ended {day_words(trip.last_conference)}."
        )
        yield Caution(13, "", "the table is older than the last conference", words)
    if months_after(trip.as_of, trip.stale_months) < trip.today:
        words = f"As of {day_words(trip.as_of)}, more than {trip.stale_months} months ago."
        yield Caution(13, "", "the table is old", words)


RULES: tuple[Callable[[Trip], Iterator[Caution]], ...] = (
    no_valid_certificate, certificate_ends, acquired_after_listing, species_unknown, for_sale,
    in_other_hands, left_unstamped, list_and_truck, carnet_ends, loose_listed_wood,
    replaced_since_issue, stricter_country, data_too_old,
)  # fmt: skip


def cautions(trip: Trip) -> tuple[Caution, ...]:
    """Every caution for a journey, by number, then by piece."""
    found = [one for rule in RULES for one in rule(trip)]
    return tuple(sorted(found, key=lambda one: (one.number, one.piece)))


def _travelling(trip: Trip) -> Iterator[PieceOnTrip]:
    return (piece for piece in trip.pieces if piece.travels)


def _materials(trip: Trip) -> Iterator[tuple[PieceOnTrip, Material]]:
    return ((piece, material) for piece in _travelling(trip) for material in piece.materials)


def _about(number: int, piece: PieceOnTrip, title: str, words: str) -> Caution:
    return Caution(number, piece.code, title, words)
