"""What the register knows before tasks are listed; by when the insurer must hear of it."""

from dataclasses import replace

from collection.custody.models import Incident
from collection.papers.theft.scene import Asked, guessed


def known_of(incident: Incident) -> Asked:
    """Border and carnet as guessed, and the notice time of the policy that covers it."""
    return replace(guessed(incident))
