"""What the register knows before tasks are listed; by when the insurer must hear of it."""

from dataclasses import replace

from collection.custody.models import Incident
from collection.papers.insurance.notice import notice_by
from collection.papers.theft.scene import Asked, guessed


def known_of(incident: Incident) -> Asked:
    """Border and carnet as guessed, and the notice time of the policy that covers it."""
    known, found = guessed(incident), notice_by(incident)
    if found is None:
        return known
    policy, until = found
    because = f"{policy.notice_hours} hours by the policy {policy.code}"
    return replace(known, notify_by=until, notify_because=because)
