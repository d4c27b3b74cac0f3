"""Years that a paper or a register claims, against the window that parts and documents give."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from collection.core.build_window import BuildWindow
from collection.core.partial_date import PartialDate


@dataclass(frozen=True)
class Claim:
    """`who` says the piece was built then; a claim bounds nothing."""

    who: str
    built: PartialDate

    def contradicts(self, window: BuildWindow) -> bool:
        """Whether no day of the claim lies within the window."""
        too_early = (
            window.not_before is not None
            and self.built.latest is not None
            and self.built.latest < window.not_before
        )
        too_late = (
            window.not_after is not None
            and self.built.earliest is not None
            and self.built.earliest > window.not_after
        )
        return too_early or too_late


def contradictions(claims: Iterable[Claim], *windows: BuildWindow) -> tuple[str, ...]:
    """A whole sentence for each claim that a window speaks against; the firmest window first."""
    against = ((claim, [one for one in windows if claim.contradicts(one)]) for claim in claims)
    return tuple(_sentence(claim, found[0]) for claim, found in against if found)


def _sentence(claim: Claim, window: BuildWindow) -> str:
    early = claim.built.latest and window.not_before and claim.built.latest < window.not_before
    against = window.set_by if early else window.shown_by
    said = against.sentence() if against else "what is dated on it"
    return (
        f"{claim.who} says built {claim.built.sentence()}: {said} contradicts it. "
        "The claim is wrong, or that is not what it is taken for."
    )
