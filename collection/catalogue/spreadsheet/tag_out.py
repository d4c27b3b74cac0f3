"""Propose DO NOT POWER from somebody's words; a person decides.

Common practice, no source: smoke, shock, liquid, a drop, a blown fuse, and plain warnings. A false
alarm costs a check on the bench, a missed one may cost more, so doubtful words count. A warning is
enough by itself ('don't use'); a symptom is not when the words before it deny it ('no smoke').
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

WARNINGS = (
    r"(?:do not|don'?t|dont|never|must not|not to be|should not be|cannot be)\s+(?:be\s+)?"
    r"(?:power(?:ed)?|plug(?:ged)?|switch(?:ed)?\s+on|turn(?:ed)?\s+on|energi[sz]ed?|fire(?:d)?\s+up"
    r"|used?(?!\s+(?:with|on|as|for|to|in|the|a|an|any|phantom|48)\b))(?:\s+(?:up|in|on|it))*\b",
    r"\bunsafe\b",
    r"\bnot safe\b",
    r"\b(?:is|are|it'?s|very|could be|may be) (?:dangerous|lethal)\b",
    r"\bdanger\b(?!ous)",
    r"\bnicht (?:einschalten|anschalten|benutzen|verwenden|einstecken|in betrieb nehmen)\b",
    r"\blebensgefahr\b|\bgefährlich\b",
    r"\bne pas (?:allumer|brancher|utiliser|mettre sous tension)\b",
    r"\bniet (?:aanzetten|inschakelen|gebruiken|aansluiten)\b",
    r"\b(?:ikke|må ikke|skal ikke) (?:slå på|slås på|bruk|brukes|tænd|tændes|bruges|brug)\b",
)
SYMPTOMS = (
    r"\bsmell(?:s|ed|ing)?\b(?: \w+){0,2} (?:hot|burn\w*|burnt|smok\w+|scorch\w*|singed)\b",
    r"\bburn(?:ing|t) smell\b|\bhot smell\b",
    r"\bsmok(?:e|es|ed|ing)\b(?![ -](?:burst|machine|free|stain\w*|grey|gray))",
    r"\b(?:electric )?shock(?:s|ed|ing)?\b(?![ -]?(?:mount\w*|proof|absorb\w*|resistant))",
    r"\belectrocut\w*",
    r"\btingl(?:e|es|ed|ing)\b",
    r"\bzap(?:s|ped)?\b",
    r"\bbit (?:me|him|her|someone|somebody|jonah|you)\b|\bbites\b",
    r"\bspark(?:s|ed|ing)\b|\barc(?:s|ed|ing)\b|\bflames?\b|\bcaught fire\b|\bon fire\b",
    r"\b(?:blew|blows?|blown|blowing|pops?|popped)\b(?: \w+){0,3} fuses?\b"
    r"|\bfuses?\b(?: \w+){0,2} (?:blew|blows?|blown|blowing|went|goes|pops?)\b",
    r"\b(?:live|hot) chassis\b|\bchassis (?:is )?live\b",
    r"\bred[ -]?plat(?:e|es|ed|ing)\b|\boverheat(?:s|ed|ing)?\b",
    r"\b(?:got|been|is|was|still) (?:soaked|wet|flooded|drenched)\b",
    r"\b(?:water|flood|liquid) damaged?\b",
    r"\b(?:beer|water|wine|coffee|cola|rain|drink)\b(?: \w+){0,3} "
    r"(?:spilled|spilt|inside|got in|ran in|in it)\b|\bspill(?:ed|t)\b",
    r"\b(?:was|been|got|were) dropped\b|\bdropped (?:it|in|off|from|at|on|by|during)\b"
    r"|\bfell (?:off|from|over|down)\b",
    r"\braucht\b|\bqualmt\b|\briecht (?:verbrannt|heiß|verschmort)\b|\bstromschlag\b"
    r"|\bsicherung (?:fliegt|durchgebrannt|brennt durch)\b",
    r"\bsent le brûlé\b|\bfume\b|\bdécharge électrique\b|\bfusible grillé\b",
    r"\brookt\b|\bruikt (?:verbrand|heet)\b|\belektrische schok\b",
    r"\bryker\b|\blukter (?:svidd|brent)\b|\blugter (?:brændt|svedent)\b|\b(?:elektrisk )?støt\b",
)
MOST = 12
NEAR = 120  # characters before a symptom in which it may be denied
WARNING = re.compile("|".join(WARNINGS), re.IGNORECASE)
SYMPTOM = re.compile("|".join(SYMPTOMS), re.IGNORECASE)
DENIAL = re.compile(
    r"\b(?:no(?! idea| matter| doubt)|not|never|without|nor|neither|free of|doesn'?t|didn'?t"
    r"|hasn'?t|isn'?t|wasn'?t|won'?t|kein|keine|nicht|nie|ohne|pas de|aucune?|sans|geen|niet"
    r"|ikke|ingen|aldri|aldrig|uden|uten)\b(?:\s+\S+){0,3}\s*$",
    re.IGNORECASE,
)
CLAUSE = re.compile(r"[.;:!?\n,]|\s[–—-]+\s|\b(?:but|aber|mais|maar|men)\b", re.IGNORECASE)
APOSTROPHES = str.maketrans("’‘`´", "''''")


@dataclass(frozen=True)
class ProposedTagOut:
    """`words` are the ones that led to it, as they were written."""

    words: tuple[str, ...]

    @property
    def reason(self) -> str:
        """The words in one line, quoted."""
        return ", ".join(f"'{words}'" for words in self.words)


def propose_tag_out(texts: Iterable[str]) -> ProposedTagOut | None:
    """A tag-out when any of the texts warns or tells of such a symptom; None otherwise."""
    words = [words for text in texts for words in _alarming(text)][:MOST]
    return ProposedTagOut(tuple(dict.fromkeys(words))) if words else None


def _alarming(text: str) -> tuple[str, ...]:
    plain = text.translate(APOSTROPHES)
    found = [match.span() for match in WARNING.finditer(plain)]
    found += [
        match.span() for match in SYMPTOM.finditer(plain) if not _denied(plain, match.start())
    ]
    return tuple(" ".join(text[start:end].split()) for start, end in sorted(found))


def _denied(text: str, start: int) -> bool:
    """The same clause denies it, at most three words before."""
    clause = CLAUSE.split(text[max(0, start - NEAR) : start])[-1]
    return DENIAL.search(clause + " ") is not None
