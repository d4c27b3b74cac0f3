"""Papers for protected species on a journey: materials part by part, certificates, cautions.

The thirteen cautions are house rules drawn from Resolution Conf. 16.8 (Rev. CoP17) on musical
instruments, Regulation (EC) 865/2006, Articles 44h to 44p, the handbook of the musicians' and
employers' federations (FIM, Pearle), and the handbooks on carnets. Information, not legal advice.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.core.species import Listed, could_be, listing_of

LONGEST_YEARS = 3  # of a musical instrument certificate. Source: FIM/Pearle handbook
MARGIN_DAYS = 30  # house rule: a certificate should outlast the journey by so much
STALE_MONTHS = 12  # house rule: after so long somebody should read the rules again
OLD_WOOD_UNTIL = 1969  # house rule, from memory: rosewood up to the sixties may be Brazilian


@dataclass(frozen=True)
class Material:
    """What one part is made of.

    `natural`: whether it comes from a plant or an animal. `loose`: a spare or blank that travels
    beside the instrument. `acquired_by`: the day by which the evidence says it was acquired.
    """

    part: str
    trade: str = ""
    scientific: str = ""
    evidence: str = ""
    acquired_by: date | None = None
    natural: bool = True
    loose: bool = False

    @property
    def listing(self) -> Listed | None:
        """The row of the table it falls under, when the species is known."""
        return listing_of(self.scientific) if self.scientific else None

    @property
    def maybe(self) -> tuple[Listed, ...]:
        """Rows it may fall under, when only a trade name is known."""
        return could_be(self.trade) if self.natural and not self.scientific else ()

    @property
    def needs_paper(self) -> bool:
        """Whether its listing leaves a finished instrument without exemption."""
        return self.listing is not None and self.listing.exempt == "none"

    @property
    def words(self) -> str:
        """'fingerboard, rosewood, Dalbergia nigra'."""
        return ", ".join(filter(None, (self.part, self.trade, self.scientific)))


@dataclass(frozen=True)
class Certificate:
    """A musical instrument certificate: one instrument, one holder, many crossings."""

    number: str
    piece: str
    holder: str
    expires_on: date
    species: tuple[str, ...] = ()
    unstamped: int = 0

    def covers(self, material: Material, *, on: date) -> bool:
        """Whether it is valid on a day for a material, by scientific name."""
        named = {name.casefold() for name in self.species}
        return on <= self.expires_on and material.scientific.casefold() in named


@dataclass(frozen=True)
class PieceOnTrip:
    """A piece on the journey, with what a border asks of it.

    `incomplete`: which of serial, weight, value, origin the list of goods misses. `replaced`:
    what was changed in it since the carnet was issued, in words.
    """

    code: str
    called: str
    built_to: int | None = None
    materials: tuple[Material, ...] = ()
    for_sale: bool = False
    handed_over: str = ""
    travels: bool = True
    on_carnet: bool = False
    incomplete: tuple[str, ...] = ()
    replaced: tuple[str, ...] = ()


@dataclass(frozen=True)
class Trip:
    """A journey as the cautions see it.

    `territories`: customs territories on the way. `valid_until`: of the carnet. `unstamped`:
    earlier crossings without a stamp, in words. `as_of`, `last_conference`: of the table.
    """

    today: date
    starts_on: date
    home_on: date
    territories: tuple[str, ...]
    as_of: date
    last_conference: date
    pieces: tuple[PieceOnTrip, ...] = ()
    certificates: tuple[Certificate, ...] = ()
    traveller: str = ""
    needs_carnet: bool = False
    valid_until: date | None = None
    unstamped: tuple[str, ...] = ()
    stale_months: int = STALE_MONTHS

    def of_piece(self, code: str) -> tuple[Certificate, ...]:
        """The certificates of a piece."""
        return tuple(one for one in self.certificates if one.piece == code)


@dataclass(frozen=True)
class Caution:
    """One of the thirteen: its number, the piece it is about ('' for the journey), what it says."""

    number: int
    piece: str
    title: str
    words: str
