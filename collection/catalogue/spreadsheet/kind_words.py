"""What people call a piece in the column that says what it is.

Common practice, no source: words gathered by hand in English, German, French, Dutch, Norwegian and
Danish. A family is the finer word under a kind.
"""

from dataclasses import dataclass
from functools import lru_cache

from collection.catalogue.spreadsheet.headings import fold

WORDS: dict[tuple[str, str], str] = {
    ("instrument", "guitar"): "guitar|gtr|electric guitar|hollow body guitar|hollow body"
    "|solid body guitar|archtop|e guitar|gitarre|e gitarre|guitare|guitare electrique|gitaar"
    "|elektrische gitaar|gitar|elgitar|elguitar|guit",
    ("instrument", "acoustic guitar"): "acoustic guitar|acoustic|flat top|akustikgitarre"
    "|westerngitarre|guitare acoustique|akoestische gitaar|akustisk gitar|akustisk guitar",
    ("instrument", "lap steel"): "lap steel|lapsteel|lap steel guitar|steel guitar|steel"
    "|hawaiian guitar|hawaiigitarre|pedal steel",
    ("instrument", "bass"): "bass|bass guitar|electric bass|e bass|bassgitarre|basse|basgitaar"
    "|bassgitar|basguitar|bas",
    ("instrument", "double bass"): "double bass|upright bass|kontrabass|contrebasse|contrabas"
    "|kontrabas",
    ("instrument", "organ"): "organ|reed organ|harmonium|orgel|orgue|pump organ|orgel harmonium",
    ("instrument", "keyboard"): "keyboard|keys|piano|electric piano|stage piano|synth|synthesizer"
    "|synthesiser|klavier|synthese|tasteninstrument|clavier|synthetiseur|toetsen|klaver|e piano",
    ("instrument", "drum"): "drum|drums|drum kit|snare|snare drum|kick drum|cymbal|trommel"
    "|schlagzeug|becken|batterie|caisse claire|tambour|slagverk|tromme|trommer|drumstel",
    ("instrument", ""): "instrument|mandolin|banjo|ukulele|violin|fiddle|accordion|instrumente",
    ("amplifier", "head"): "amp head|head|amplifier head|top|amp top|topteil|verstarkertopteil"
    "|tete d ampli|tete|tete ampli|versterkertop|topp|forsterkertopp|amptopp|amptop"
    "|guitar amp head|tube head|valve head",
    ("amplifier", "combo"): "combo|amp combo|combo amp|combo amplifier|kombo|combo verstarker"
    "|gitarrencombo|ampli combo|combo versterker|comboforsterker|guitar combo",
    ("amplifier", ""): "amp|amplifier|guitar amp|guitar amplifier|bass amp|tube amp|valve amp"
    "|verstarker|verstaerker|gitarrenverstarker|rohrenverstarker|ampli|amplificateur|versterker"
    "|gitaarversterker|forsterker|forstaerker|power amp|preamp|pre amp|vorverstarker",
    ("cabinet", ""): "cab|cabinet|speaker cab|speaker cabinet|speaker|loudspeaker|speaker box"
    "|box|gitarrenbox|lautsprecherbox|lautsprecher|baffle|enceinte|cabine|speakerkast|kast"
    "|luidspreker|luidsprekerkast|kabinett|hoyttalerkabinett|hoyttaler|hojttaler|hojttalerkabinet"
    "|kabinet|extension cab|ext cab|rotary speaker",
    ("effect", "tape echo"): "tape echo|tape delay|echo|echo unit|bandecho|bandechogerat"
    "|echogerat|echo a bande|echo a bandes|chambre d echo|bandekko|ekko|bandekkomaskin"
    "|bandekkoapparat|echomachine|echo machine",
    ("effect", "reverb"): "reverb|spring reverb|reverb unit|hall|federhall|hallgerat|reverbe"
    "|galm|veergalm|klang|fjaerklang|rumklang",
    ("effect", "pedal"): "pedal|effect pedal|effects pedal|stomp box|stompbox|fuzz|fuzz box|wah"
    "|overdrive|tremolo pedal|bodeneffekt|effektpedal|pedale|pedale d effet|effectpedaal",
    ("effect", ""): "effect|effects|fx|fx unit|effects unit|effekt|effektgerat|effet|effect unit"
    "|effectapparaat|delay|tremolo|vibrato unit|phaser|chorus|flanger",
    ("microphone", "ribbon"): "ribbon mic|ribbon microphone|ribbon|bandchenmikrofon"
    "|baendchenmikrofon|micro a ruban|lintmicrofoon|bandmikrofon|baandmikrofon",
    ("microphone", ""): "mic|mike|microphone|micro|mikrofon|mikro|microfoon|vocal mic|mics"
    "|condenser mic|dynamic mic|mik|drum mic|guitar mic",
    ("other", ""): "other|misc|accessory|case|flight case|stand|lead|cable|power supply|psu"
    "|footswitch|sonstiges|zubehor|koffer|netzteil|autre|accessoire|divers|overig|annet|andet"
    "|ovrig|transformer|di|di box|tuner",
}


@dataclass(frozen=True)
class Kind:
    """A kind of piece and, where the word said more, its family; '' when it did not."""

    kind: str
    family: str


PHRASES = {fold(word): Kind(*kind) for kind, words in WORDS.items() for word in words.split("|")}
LONGEST = 4


@lru_cache(maxsize=4096)
def read_kind(text: str) -> Kind | None:
    """The kind that a whole cell names, in any spelling; None when it names none."""
    if len(text) > 80:
        return None
    folded = fold(text)
    return PHRASES.get(folded) or PHRASES.get(folded.removesuffix("s"))


@lru_cache(maxsize=4096)
def kind_within(text: str) -> Kind | None:
    """The kind that the words of a description end with ('Long Eight lap steel').

    The last phrase counts, for English puts the thing itself last; the longer one on a tie.
    """
    if len(text) > 200:
        return None
    words = fold(text).split()
    for end in range(len(words), 0, -1):
        for start in range(max(0, end - LONGEST), end):
            if found := read_kind(" ".join(words[start:end])):
                return found
    return None
