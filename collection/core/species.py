"""Protected species in old instruments: what is listed, since when, what is exempt.

Information, not legal advice: the lists change at every conference of the parties, countries add
rules of their own, and the management authority has the last word. Each row carries its source
and the day as of which it was read. Rows read from summaries or from memory say so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

AS_OF = date(2026, 3, 5)
LAST_CONFERENCE = ("CoP20, Samarkand", date(2025, 12, 5))
NOT_ADVICE = (
    "Information, not legal advice; ask your CITES management authority; rules change at each "
    "conference of the parties"
)
PERFORMING, FINISHED, NONE = "non-commercial", "finished", "none"
EXEMPT_WORDS = {
    PERFORMING: "finished instruments, parts and accessories, only without sale or change of owner",
    FINISHED: "finished instruments, parts and accessories",
    NONE: "nothing that helps an instrument",
}


@dataclass(frozen=True)
class Listed:
    """A listed species or group.

    `names`: scientific names, of a genus or family alone where all of it counts. `trade`: what a
    workshop calls it. `appendix`: 'I', 'II', or 'I or II' where it depends on the species.
    `listed_on`: the day from which material counts as acquired after listing; None where the
    table does not say. `exempt`: what the annotation leaves free.
    """

    key: str
    names: tuple[str, ...]
    trade: tuple[str, ...]
    appendix: str
    listed_on: date | None
    exempt: str
    says: str
    source: str
    as_of: date = AS_OF

    @property
    def exempt_words(self) -> str:
        """What is exempt, in words."""
        return EXEMPT_WORDS[self.exempt]


@dataclass(frozen=True)
class Stricter:
    """A customs territory whose own law asks for more than the convention, for some species."""

    territory: str
    keys: tuple[str, ...]
    says: str
    source: str
    as_of: date = AS_OF


SPECIES: tuple[Listed, ...] = (
    Listed(
        "brazilian-rosewood", ("Dalbergia nigra",),
        ("rosewood", "brazilian rosewood", "rio rosewood", "jacaranda"), "I", date(1992, 6, 11),
        NONE,
        "Annotation #15 does not cover it: an instrument with it needs a musical instrument "
        "certificate or a pre-Convention certificate.",
        "CoP8 (Kyoto 1992); CoP17 document; the day in 1992 from memory",
    ),
    Listed(
        "rosewoods", ("Dalbergia",),
        ("rosewood", "indian rosewood", "cocobolo", "kingwood", "african blackwood", "grenadilla"),
        "II", date(2017, 1, 2), FINISHED,
        "Annotation #15, since 26 November 2019; also up to 10 kg of it in finished products a "
        "shipment. Blanks and veneer are not exempt; Dalbergia cochinchinensis falls under #4, "
        "Dalbergia that comes from Mexico under #6.",
        "Annotation #15 as traders and the orchestras’ league quote it; kept at CoP20",
    ),
    Listed(
        "bubinga", ("Guibourtia demeusei", "Guibourtia pellegriniana", "Guibourtia tessmannii"),
        ("bubinga", "kevazingo"), "II", date(2017, 1, 2), FINISHED,
        "Annotation #15, like the rosewoods.", "as for the rosewoods",
    ),
    Listed(
        "pernambuco", ("Paubrasilia echinata", "Caesalpinia echinata"),
        ("pernambuco", "pau-brasil", "brazilwood"), "II", None, PERFORMING,
        "Annotation #10, new since 5 March 2026: free for performance, paid or not, personal use, "
        "display, loan, competition, teaching, appraisal and repair, with no change of owner. "
        "Sales need permits.",
        "International Pernambuco Conservation Initiative on CoP20; 90 days after 5 December 2025",
    ),
    Listed(
        "elephant-ivory", ("Loxodonta africana", "Loxodonta cyclotis", "Elephas maximus"),
        ("ivory", "elephant ivory"), "I", date(1976, 2, 26), NONE,
        "Two dates are in use in the United States: removed from the wild before 26 February 1976, "
        "and not pre-Convention when after 4 February 1977. The earlier one is reckoned with here. "
        "Marked or identified, and not transferred for gain since 25 February 2014.",
        "USFWS Director’s Order 210; 81 FR 36387; form 3-200-88",
    ),
    Listed(
        "tortoiseshell", ("Eretmochelys imbricata",), ("tortoiseshell", "hawksbill"), "I",
        date(1975, 7, 1), NONE, "Real shell; celluloid and plastic are not meant.",
        "FIM handbook; the day in 1975 from memory (the convention’s own first day)",
    ),
    Listed(
        "whalebone", ("Cetacea", "Balaenidae", "Balaena mysticetus", "Eubalaena"),
        ("whalebone", "baleen"), "I or II", None, NONE, "Bows and reeds of old instruments.",
        "FIM handbook",
    ),
    Listed(
        "reptile-skin", ("Varanus", "Python", "Crocodylus", "Alligator", "Crocodylia"),
        ("lizard skin", "python skin", "snakeskin", "crocodile", "alligator"), "I or II", None,
        NONE, "Coverings, bow grips, drum heads.", "from memory",
    ),
    Listed(
        "listed-shell", ("Aliger gigas", "Strombus gigas", "Nautilus", "Tridacna"),
        ("queen conch", "nautilus", "giant clam", "mother-of-pearl", "mother of pearl"), "II",
        None, NONE, "Only some mother-of-pearl: pearl oyster and abalone inlay is not listed.",
        "from memory",
    ),
    Listed(
        "mahogany", ("Swietenia", "Cedrela"), ("mahogany", "honduran mahogany", "spanish cedar"),
        "II", None, FINISHED,
        "The annotation names logs, sawn wood, veneer and plywood: finished instruments are not "
        "covered.", "from memory",
    ),
    Listed(
        "ebony", ("Diospyros",), ("ebony",), "II", None, FINISHED,
        "Of Madagascar, as raw timber.", "from memory",
    ),
)  # fmt: skip

STRICTER: tuple[Stricter, ...] = (
    Stricter("US", ("elephant-ivory",),
             "Near-total ban on ivory; several states add their own. Ports of entry are named, "
             "with a declaration and an inspection before departure.",
             "USFWS Director’s Order 210; 81 FR 36387; states from memory"),
    Stricter("EU", ("elephant-ivory",), "Ivory bans beyond the convention.", "from memory"),
    Stricter("GB", ("elephant-ivory",), "Ivory bans beyond the convention.", "from memory"),
)  # fmt: skip


def listing_of(scientific: str) -> Listed | None:
    """The row that a scientific name falls under: the species before its genus; None if none.

    >>> listing_of("Dalbergia nigra").appendix, listing_of("Dalbergia latifolia").appendix
    ('I', 'II')
    """
    wanted = " ".join(scientific.split()).casefold()
    genus = wanted.partition(" ")[0]
    by_name = {name.casefold(): row for row in SPECIES for name in row.names}
    return by_name.get(wanted) or (by_name.get(genus) if genus else None)


def could_be(trade: str) -> tuple[Listed, ...]:
    """Rows that a trade name may mean, the strictest first.

    >>> [row.key for row in could_be("Rosewood, species unknown")]
    ['brazilian-rosewood', 'rosewoods']
    """
    said = f" {' '.join(_letters(trade).split())} "
    found = [row for row in SPECIES if any(f" {_letters(name)} " in said for name in row.trade)]
    return tuple(sorted(found, key=lambda row: (row.appendix != "I", SPECIES.index(row))))


def stricter_in(territories: Iterable[str], key: str) -> tuple[Stricter, ...]:
    """Territories on the way whose own law asks for more for a row of the table."""
    wanted = set(territories)
    return tuple(one for one in STRICTER if one.territory in wanted and key in one.keys)


def _letters(text: str) -> str:
    return "".join(c if c.isalpha() else " " for c in text.casefold())
