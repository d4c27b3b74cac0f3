"""Pieces to record for."""

from itertools import count

from django.test import Client

from collection.catalogue.actions import add_piece
from collection.catalogue.models import Piece
from registry.access.models import Membership

_numbers = count(1)


def a_piece(member: Membership, *, kind: str = "amplifier", code: str = "", **said) -> Piece:
    """A piece of the member's collection."""
    code = code or f"A-{next(_numbers):03d}"
    return add_piece(collection=member.collection, by=member, code=code, kind=kind, **said)


def address(piece: Piece, kind: str = "") -> str:
    """The record page of a piece, or the form of one kind."""
    return f"/{piece.collection.slug}/bench/record/{piece.code}/" + (f"{kind}/" if kind else "")


def recorded(client: Client, piece: Piece, kind: str, **typed):
    """The answer to a form of a kind with only these fields typed."""
    return client.post(address(piece, kind), typed)
