"""The table of listed species. Facts are those of the sources that each row names."""

from datetime import date

import pytest

from collection.core.species import (
    LAST_CONFERENCE,
    SPECIES,
    STRICTER,
    could_be,
    listing_of,
    stricter_in,
)


def test_brazilian_rosewood_is_in_appendix_i_since_1992():
    # Source: CoP8, Kyoto 1992; not covered by annotation #15
    row = listing_of("Dalbergia nigra")
    assert (row.appendix, row.listed_on, row.exempt) == ("I", date(1992, 6, 11), "none")


@pytest.mark.parametrize("name", ["Dalbergia latifolia", "dalbergia  retusa",
                                  "Guibourtia tessmannii"])  # fmt: skip
def test_other_rosewoods_are_exempt_as_finished_instruments(name):
    # Source: annotation #15, since 26 November 2019
    row = listing_of(name)
    assert (row.appendix, row.exempt) == ("II", "finished")


def test_other_bubinga_is_not_listed():
    # Source: the listing names three species of Guibourtia
    assert listing_of("Guibourtia ehie") is None


def test_pernambuco_is_free_only_without_sale():
    # Source: annotation #10, in force since 5 March 2026
    assert listing_of("Paubrasilia echinata").exempt == "non-commercial"


def test_ivory_shows_both_dates_that_are_in_use():
    # Source: USFWS Director's Order 210; form 3-200-88
    row = listing_of("Loxodonta africana")
    assert row.listed_on == date(1976, 2, 26)
    assert "4 February 1977" in row.says


@pytest.mark.parametrize("name", ["Picea abies", "", "Dalbergiella"])
def test_what_is_not_in_the_table_is_not_listed(name):
    assert listing_of(name) is None


@pytest.mark.parametrize(
    ("trade", "keys"),
    [
        ("rosewood, species unknown", ["brazilian-rosewood", "rosewoods"]),
        ("Indian rosewood", ["brazilian-rosewood", "rosewoods"]),
        ("ivory", ["elephant-ivory"]),
        ("mother-of-pearl", ["listed-shell"]),
        ("spruce", []),
        ("ivoryish", []),
    ],
)
def test_a_trade_name_may_mean_several_the_strictest_first(trade, keys):
    assert [row.key for row in could_be(trade)] == keys


def test_stricter_law_is_asked_by_territory():
    assert [one.territory for one in stricter_in(["NO", "US"], "elephant-ivory")] == ["US"]
    assert stricter_in(["US"], "rosewoods") == ()


def test_every_row_has_a_source_and_a_day_not_before_the_last_conference():
    for row in (*SPECIES, *STRICTER):
        assert row.source
        assert row.as_of >= LAST_CONFERENCE[1]


def test_keys_of_the_table_are_told_apart():
    keys = [row.key for row in SPECIES]
    assert len(set(keys)) == len(keys)
    assert {key for one in STRICTER for key in one.keys} <= set(keys)
