"""From pieces that travel to lines of a list, in the order of trucks and cases."""

import re
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from collection.catalogue.models import Piece, PieceKind
from collection.core.customs import CABLES, ELECTRICAL, OTHER, TOOLS, Goods, Row, general_list
from collection.custody.models import Place
from collection.custody.whereabouts import Whereabouts
from collection.papers.borders.models import ListedGoods
from collection.road.carnet.models import Carnet
from collection.road.models import Tour, Travelling

RUN_FROM_MAINS = {PieceKind.AMPLIFIER, PieceKind.EFFECT, PieceKind.MICROPHONE}
SOCKET = re.compile(r"V\d+|rectifier", re.I)
FITTED_TUBES = "fitted tubes"
MAY_TRAVEL = "held"


def travelling(tour: Tour) -> list[Travelling]:
    """What travels with a tour, with all that a line is made of; 2 queries."""
    found = Travelling.objects.filter(tour=tour).select_related(
        "piece__maker", "piece__design", "piece__circuit", "piece__subject__state"
    )
    return list(found.prefetch_related("piece__circuit__positions").order_by("piece__code"))


def kept_off(piece: Piece) -> str:
    """Why a piece may not stand on a carnet; '' when it may.

    Domain rule: stolen, not found, quarantined, tagged-out pieces are never on a carnet.
    """
    state = getattr(piece.subject, "state", None)
    if state is None:
        return ""
    if state.standing != MAY_TRAVEL:
        return state.standing.replace("_", " ")
    return "tagged out" if state.tagged_out else ""


def in_truck_order(pieces: Iterable[Piece], known: Whereabouts) -> list[Piece]:
    """By truck, then case, then code, as they are packed; what has no case comes last."""
    return sorted(pieces, key=lambda piece: _place_key(piece, known))


def _place_key(piece: Piece, known: Whereabouts) -> tuple[Any, ...]:
    boxes = [place.code for place in _boxes(piece, known)]
    return (not boxes, boxes, piece.code)


def place_of(piece: Piece) -> int | None:
    """Where the book has it."""
    state = getattr(piece.subject, "state", None)
    return state.place_id if state else None


def packed_in(piece: Piece | None, known: Whereabouts) -> str:
    """'truck A, case 07'; a piece that travels no longer, or has no case, is in none."""
    boxes = _boxes(piece, known) if piece else []
    return ", ".join(box.name for box in boxes) or "in no case or truck"


def _boxes(piece: Piece, known: Whereabouts) -> list[Place]:
    """Truck and cases of a piece, outermost first: of its own case, else of where it is.

    On a show day most of it stands on the stage, and the list should not change its order.
    """
    for at in (piece.usual_place_id, place_of(piece)):
        boxes = [p for p in known.chain(at) if p.moves] if at in known.rows else []
        if boxes:
            return boxes
    return []


def goods_of(piece: Piece, currency: str) -> Goods:
    """A piece as goods; a value in another currency stays, and the list says so."""
    model = piece.design.name if piece.design else piece.name
    return Goods(
        what=piece.family or piece.get_kind_display().lower(),
        code=piece.code,
        maker=piece.maker.name if piece.maker else "",
        model=model,
        serial=piece.serial,
        kind=ELECTRICAL if piece.kind in RUN_FROM_MAINS else OTHER,
        parts=tuple(_parts(piece)),
        grams=piece.mass_grams,
        value_minor=piece.value_minor,
        currency=piece.value_currency or currency,
        made_in=piece.made_in,
    )


def _parts(piece: Piece) -> Iterable[str]:
    positions = piece.circuit.positions.all() if piece.circuit else ()
    if any(SOCKET.fullmatch(position.name) for position in positions):
        yield FITTED_TUBES
    yield from filter(None, (part.strip() for part in re.split(r"[,;]", piece.goes_with)))


def goods_without_code(extra: ListedGoods, currency: str) -> Goods:
    """A set of cables, a tool kit or anything else without a code."""
    return Goods(
        what=extra.what, kind=extra.kind, count=1 if extra.kind == CABLES else extra.count,
        inside=extra.inside if extra.kind == TOOLS else None, grams=extra.grams,
        value_minor=extra.value_minor, currency=currency, made_in=extra.made_in,
    )  # fmt: skip


def draft(carnet: Carnet, travels: Iterable[Travelling], known: Whereabouts) -> tuple[Row, ...]:
    """The list as it would be issued now: ticked pieces that may travel, then other goods."""
    ticked = [one.piece for one in travels if one.on_carnet and not kept_off(one.piece)]
    pieces = [goods_of(one, carnet.currency) for one in in_truck_order(ticked, known)]
    others = [goods_without_code(one, carnet.currency) for one in carnet.goods.all()]
    return general_list([*pieces, *others])


def as_json(rows: Iterable[Row]) -> list[dict[str, Any]]:
    """Lines as they are kept once the carnet is issued."""
    return [asdict(row) for row in rows]


def issued(carnet: Carnet) -> tuple[Row, ...]:
    """The lines of an issued carnet."""
    return tuple(_row(said) for said in carnet.rows)


def _row(said: dict[str, Any]) -> Row:
    goods = said["goods"] | {"parts": tuple(said["goods"]["parts"])}
    return Row(said["first"], Goods(**goods), tuple(said["codes"]))
