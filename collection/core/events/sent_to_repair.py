"""`sent_to_repair`: it went to a repairer, with a ticket's complaint and standing orders."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from collection.core.events.kind import Kind, Moment, States, gone
from collection.core.repair_job import sent_one
from collection.core.state import Seen, State
from collection.core.wording import money

AWAY_FOR_REPAIR = "away for repair"


@dataclass(frozen=True)
class SentToRepair(Kind):
    """To which party and place (codes), on which job, what for. Subject: the piece.

    `orders`: keys of `repair_job.ORDERS`, `order_words`: further ones. `limit_minor`: what may be
    done without a call, in minor units of `currency`. `due`: the day it is promised back, ISO.
    """

    kind: ClassVar[str] = "sent_to_repair"
    bystanders: ClassVar[frozenset[str]] = frozenset({"to", "at"})
    job: str
    to: str
    at: str = ""
    complaint: str = ""
    orders: tuple[str, ...] = ()
    order_words: str = ""
    limit_minor: int | None = None
    currency: str = ""
    due: str = ""

    def names(self) -> dict[str, str]:
        """The job, the repairer, the place when given."""
        named = {"job": self.job, "to": self.to, "at": self.at}
        return {role: code for role, code in named.items() if code}

    def problems(self, states: States) -> tuple[str, ...]:
        """Somebody else has it, or it is gone."""
        subject = states["subject"]
        if subject.holder and subject.holder != self.to:
            return (f"The book says {subject.holder} has it, yet it was sent to {self.to}.",)
        return gone(subject, f"was sent to {self.to}")

    def after(self, role: str, state: State, moment: Moment) -> State:
        """The repairer holds it and it is unproven; the job has one piece more."""
        if role == "job":
            return sent_one(state)
        if role != "subject":
            return state
        entry = moment.placed.entry
        state = state.now(holder=self.to)
        if self.at:
            us = moment.placed.placed_us
            seen = Seen(us, moment.by, self.at, entry.source, entry.number)
            state = state.now(place=self.at, seen=seen)
        return state.unproved(moment.day, AWAY_FOR_REPAIR, entry.number)

    def sentence(self) -> str:
        """To whom, on which job, what for, and what may be done without a call."""
        what = f": {self.complaint.rstrip('.')}" if self.complaint else ""
        limit = ""
        if self.limit_minor is not None:
            limit = f"; work up to {money(self.limit_minor, self.currency)} approved"
        due = f"; promised for {self.due}" if self.due else ""
        return f"Sent to {self.to} for repair, job {self.job}{what}{limit}{due}."
