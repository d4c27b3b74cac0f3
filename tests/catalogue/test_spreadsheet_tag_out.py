"""Words of danger propose DO NOT POWER, denied ones do not (common practice, no source)."""

import pytest

from collection.catalogue.spreadsheet.tag_out import propose_tag_out


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("smells hot after 40 min — don't use", ("smells hot", "don't use")),
        ("Smells a bit burnt", ("Smells a bit burnt",)),
        ("DO NOT POWER until Ines has looked", ("DO NOT POWER",)),
        ("Don’t plug it in!", None),
        ("do not switch on", ("do not switch on",)),
        ("never power up", ("never power up",)),
        ("gives you a shock", ("shock",)),
        ("tingles on the strings", ("tingles",)),
        ("blew a fuse in Bergen", ("blew a fuse",)),
        ("keeps blowing fuses", ("blowing fuses",)),
        ("fuse keeps blowing", ("fuse keeps blowing",)),
        ("smoke came out of the back", ("smoke",)),
        ("beer spilled inside", ("beer spilled inside",)),
        ("was dropped off the truck", ("was dropped",)),
        ("got wet in Aarhus", ("got wet",)),
        ("not safe, live chassis", ("not safe", "live chassis")),
        ("riecht verbrannt, nicht einschalten", ("riecht verbrannt", "nicht einschalten")),
        ("ne pas brancher", ("ne pas brancher",)),
        ("niet aanzetten, rookt", ("niet aanzetten", "rookt")),
        ("ikke slå på, lukter svidd", ("ikke slå på", "lukter svidd")),
        ("No noise now, but it smokes", ("smokes",)),
    ],
)
def test_words_of_danger_propose_a_tag_out_and_are_given_back(text, words):
    proposed = propose_tag_out([text])
    assert proposed is not None
    assert words is None or proposed.words == words


@pytest.mark.parametrize(
    "text",
    [
        *("no smoke damage", "never been dropped", "without any shock", "does not smell hot"),
        *("shock mount included", "from a smoke-free home", "tobacco burst, smoke machine case"),
        *("runs hot but fine", "hot sound", "new fuse fitted 2019", "do not use with 8 ohms"),
        *(
            "kein Rauch",
            "riecht nicht verbrannt",
            "pas de fumée",
            "speaker swapped, first one kept",
        ),
        *("bellows patched, holds pressure", "Bo says it came from a chapel, no paper", ""),
        *("don't sell", "never used in the rain", "used on the last tour", "power cord replaced"),
        "drop tuning, water slide decal",
    ],
)
def test_harmless_or_denied_words_propose_nothing(text):
    assert propose_tag_out([text]) is None


def test_a_reason_quotes_every_word_once_from_all_texts():
    proposed = propose_tag_out(["smells hot", "smells hot; don't use"])
    assert proposed.reason == "'smells hot', 'don't use'"


def test_a_very_long_text_is_skimmed_in_time():
    assert len(propose_tag_out(["no smoke, smoke " * 4000]).words) == 1
