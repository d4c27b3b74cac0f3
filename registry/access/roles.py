"""The three roles a member may have in a collection, from least to most."""

from django.db import models


class Role(models.TextChoices):
    """What a member may do: look, record, or also decide who may enter."""

    VIEWER = "viewer", "Viewer"
    TECHNICIAN = "technician", "Technician"
    KEEPER = "keeper", "Keeper"


RANK = {role: rank for rank, role in enumerate(Role)}


def covers(held: str, needed: str) -> bool:
    """Whether the role held may do what the needed role may."""
    return RANK[Role(held)] >= RANK[Role(needed)]
