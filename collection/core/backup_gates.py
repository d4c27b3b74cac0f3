"""What rules a piece out, before anything about the way is asked.

A gate has a quick test and, for when somebody wants to know, a sentence. All gates are
asked for the reasons; the ranking stops at the first that is shut.
Aged evidence does not shut a gate, it is marked stale and ranks last among equals; evidence
that is missing or wholly voided does, unless somebody confirmed the piece by a call.
Source: mains tolerance, supply in Great Britain 230 V -6/+10 %; customs, see `territory`.
Limits: unknown volts, hertz or load pass; no step-down transformer is reckoned with.
"""

from collections.abc import Callable
from typing import NamedTuple

from collection.core.backup_records import Candidate, Need
from collection.core.moment import day
from collection.core.territory import CUSTOMS_AS_OF, customs_territory
from collection.core.transit_rules import Rules


class Gate(NamedTuple):
    """A test that is True when the gate is shut, the sentence that says why, and its name."""

    shut: Callable[[Candidate], bool]
    because: Callable[[Candidate], str]
    name: str


_BARRED = {
    "stolen": "It is reported stolen.",
    "not found": "It is not found.",
    "quarantined": "It is in quarantine.",
    "tagged out": "It is tagged out: DO NOT POWER.",
    "lent": "It is lent.",
    "booked": "It is booked for the same time.",
    "stripped": "It is stripped for parts.",
    "open fault": "It has an open fault.",
    "private": "It is at a private place.",
}


def gates(need: Need, rules: Rules) -> tuple[Gate, ...]:
    """The gates of a need, the ones that shut most often first."""
    return piece_gates(need) + site_gates(need, rules)


def piece_gates(need: Need) -> tuple[Gate, ...]:
    """The gates that ask about the piece and the position, wherever the show is."""
    asked = [_kind(need), _barred(), _evidence(), _never(need), _itself(need)]
    if need.load_ohms is not None:
        asked.append(_load(need.load_ohms))
    if need.traits:
        asked.append(_traits(need.traits))
    if need.family:
        asked.append(_family(need))
    return tuple(asked)


def site_gates(need: Need, rules: Rules) -> tuple[Gate, ...]:
    """The gates that ask about the supply and the border at the place of the show."""
    asked = [_border(need)]
    if need.mains_volts is not None:
        asked.append(_volts(need.mains_volts, rules))
    if need.mains_hz is not None:
        asked.append(_hertz(need.mains_hz))
    return tuple(asked)


def reasons(candidate: Candidate, asked: tuple[Gate, ...]) -> tuple[str, ...]:
    """Every reason against a piece, as whole sentences; none when it may stand in."""
    found = [gate.because(candidate) for gate in asked if gate.shut(candidate)]
    return tuple(sentence for text in found for sentence in text.split("\n"))


def _kind(need: Need) -> Gate:
    kind = need.kind
    return Gate(
        lambda c: c.kind != kind,
        lambda c: f"Its kind is {c.kind}; the position needs the kind {kind}.",
        "kind",
    )


def _family(need: Need) -> Gate:
    """No guitar for an organ, unless the artist's list says so; no family known passes."""
    family, named = need.family, frozenset((*need.accepted, *need.emergency))
    return Gate(
        lambda c: c.family not in ("", family) and c.code not in named and c.design not in named,
        lambda c: f"It is a {c.family}; the position needs a {family}, or what the list names.",
        "family",
    )


def _itself(need: Need) -> Gate:
    code = need.code
    return Gate(lambda c: c.code == code, lambda c: "It is the piece that failed.", "itself")


def _never(need: Need) -> Gate:
    never = frozenset(need.never)

    def named(candidate: Candidate) -> str:
        word = candidate.code if candidate.code in never else candidate.design
        return f"The artist's list for the position says never: {word}."

    return Gate(lambda c: c.code in never or c.design in never, named, "never")


def _barred() -> Gate:
    def said(candidate: Candidate) -> str:
        return "\n".join(_BARRED.get(word, _sentence(word)) for word in candidate.barred)

    return Gate(lambda c: bool(c.barred), said, "barred")


def _sentence(text: str) -> str:
    text = " ".join(text.split()) or "it is barred without a reason given"
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


def _evidence() -> Gate:
    def unproven(candidate: Candidate) -> bool:
        for evidence in candidate.evidence:
            if not evidence.voided_by:
                return False
        said = (*candidate.quotes, *filter(None, (candidate.on_the_way,)))
        return not any(quote.basis == "confirmed" for quote in said)

    def said(candidate: Candidate) -> str:
        if not candidate.evidence:
            return "Nothing on record shows that it works."
        last = max(candidate.evidence, key=lambda evidence: evidence.on)
        return (
            f"Nothing shows that it still works: {last.level} on {day(last.on)} "
            f"no longer counts since {last.voided_by}."
        )

    return Gate(unproven, said, "evidence")


def _load(ohms: float) -> Gate:
    def shut(candidate: Candidate) -> bool:
        drives = candidate.load_ohms
        if drives is None or drives == ohms:
            return False
        return not isinstance(drives, tuple) or ohms not in drives

    def said(candidate: Candidate) -> str:
        drives = candidate.load_ohms
        taps = drives if isinstance(drives, tuple) else (drives,)
        offered = " or ".join(f"{tap:g} Ω" for tap in taps if tap is not None)
        return f"It needs a load of {offered or 'a kind not known'}; the position has {ohms:g} Ω."

    return Gate(shut, said, "load")


def _traits(traits: frozenset[str]) -> Gate:
    return Gate(
        lambda c: not traits <= c.traits,
        lambda c: f"It lacks what the position needs: {', '.join(sorted(traits - c.traits))}.",
        "traits",
    )


def _volts(volts: float, rules: Rules) -> Gate:
    low, high = 1 - rules.volts_below, 1 + rules.volts_above

    def shut(candidate: Candidate) -> bool:
        set_for = candidate.mains_volts
        return set_for is not None and not low * set_for <= volts <= high * set_for

    return Gate(
        shut,
        lambda c: f"It is set for {c.mains_volts:g} V; the supply is {volts:g} V.",
        "volts",
    )


def _hertz(hertz: float) -> Gate:
    return Gate(
        lambda c: c.mains_hz is not None and c.mains_hz != hertz,
        lambda c: f"It needs {c.mains_hz:g} Hz; the supply is {hertz:g} Hz.",
        "hertz",
    )


def _border(need: Need) -> Gate:
    here = customs_territory(need.at.country)
    inside: dict[str, bool] = {}

    def shut(candidate: Candidate) -> bool:
        if candidate.on_carnet:
            return False
        country = candidate.site.country
        if country not in inside:
            inside[country] = customs_territory(country) == here
        return not inside[country]

    def said(candidate: Candidate) -> str:
        return (
            f"It is not on the carnet and would cross the customs border from "
            f"{customs_territory(candidate.site.country)} to {here} "
            f"(as of {day(CUSTOMS_AS_OF)}; information, not legal advice)."
        )

    return Gate(shut, said, "border")
