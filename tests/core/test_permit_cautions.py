"""The thirteen cautions, each when it must speak and when it must not.

Sources: Resolution Conf. 16.8 (Rev. CoP17); Regulation (EC) 865/2006, Articles 44h to 44p; the
FIM/Pearle handbook; the gov.uk handbook on carnets. The thirty days, the twelve months and the
year 1969 are house rules.
"""

from dataclasses import replace
from datetime import date

import pytest

from collection.core.permit import Certificate, Material, PieceOnTrip, Trip
from collection.core.permit_cautions import RULES, cautions
from collection.core.species import AS_OF, LAST_CONFERENCE

NIGRA = Material("fingerboard", "rosewood", "Dalbergia nigra", acquired_by=date(1961, 5, 2))
INDIAN = Material("bridge", "rosewood", "Dalbergia latifolia")
UNKNOWN = Material("fingerboard", "rosewood")
LINNET = PieceOnTrip("G-011", "Linnet", built_to=1961, on_carnet=True)
MIC = Certificate("X-1", "G-011", "Mirren Vale", date(2028, 1, 1), ("Dalbergia nigra",))
TRIP = Trip(
    today=date(2026, 11, 24), starts_on=date(2026, 10, 30), home_on=date(2026, 12, 13),
    territories=("NO", "EU"), as_of=AS_OF, last_conference=LAST_CONFERENCE[1],
    traveller="Mirren Vale", needs_carnet=True, valid_until=date(2027, 10, 11), pieces=(LINNET,),
)  # fmt: skip


def trip(*materials, piece=None, certificates=(), **changed):
    piece = replace(LINNET, materials=materials, **(piece or {}))
    return replace(TRIP, pieces=(piece,), certificates=certificates, **changed)


def numbers(given):
    return [one.number for one in cautions(given)]


def test_a_journey_with_everything_in_order_has_no_cautions():
    assert cautions(trip(NIGRA, INDIAN, certificates=(MIC,))) == ()


def test_1_a_part_of_appendix_i_needs_a_valid_certificate():
    (one,) = cautions(trip(NIGRA))
    assert (one.number, one.piece) == (1, "G-011")
    assert "Dalbergia nigra" in one.words


@pytest.mark.parametrize(
    "wrong",
    [{"piece": "G-012"}, {"species": ("Dalbergia latifolia",)}, {"expires_on": date(2026, 11, 23)}],
)
def test_1_a_certificate_for_another_piece_species_or_time_does_not_count(wrong):
    assert 1 in numbers(trip(NIGRA, certificates=(replace(MIC, **wrong),)))


def test_1_a_rosewood_that_annotation_15_exempts_needs_none():
    assert numbers(trip(INDIAN)) == []


def test_1_a_piece_that_stays_home_needs_none():
    assert numbers(trip(NIGRA, piece={"travels": False})) == []


@pytest.mark.parametrize(
    ("ends", "speaks"), [(date(2027, 1, 12), True), (date(2027, 1, 13), False)]
)
def test_2_a_certificate_ends_at_least_thirty_days_after_coming_home(ends, speaks):
    found = numbers(trip(NIGRA, certificates=(replace(MIC, expires_on=ends),)))
    assert found == ([2] if speaks else [])


@pytest.mark.parametrize(("got", "speaks"), [(date(1992, 6, 12), True), (date(1992, 6, 11), False)])
def test_3_material_acquired_after_the_listing_gets_no_certificate(got, speaks):
    found = numbers(trip(replace(NIGRA, acquired_by=got), certificates=(MIC,)))
    assert found == ([3] if speaks else [])


def test_3_asks_only_for_appendix_i():
    assert numbers(trip(replace(INDIAN, acquired_by=date(2020, 1, 1)))) == []


def test_4_rosewood_of_unknown_species_up_to_the_sixties_counts_as_brazilian():
    (one,) = cautions(trip(UNKNOWN))
    assert one.number == 4
    assert "treat it as Dalbergia nigra" in one.words


def test_4_newer_rosewood_is_asked_about_without_that_sentence():
    (one,) = cautions(trip(UNKNOWN, piece={"built_to": 1978}))
    assert "treat it as" not in one.words
    (one,) = cautions(trip(UNKNOWN, piece={"built_to": None}))
    assert "treat it as" in one.words


def test_4_leaves_metal_and_plastic_alone():
    assert numbers(trip(Material("pickguard", "celluloid", natural=False))) == []
    assert numbers(trip(Material("top", "spruce"))) == [4]


def test_5_a_piece_for_sale_loses_the_exemption():
    bow = Material("bow", "pernambuco", "Paubrasilia echinata")
    assert numbers(trip(bow, piece={"for_sale": True})) == [5]
    assert numbers(trip(bow)) == []
    assert numbers(trip(piece={"for_sale": True})) == []


def test_6_the_holder_travels_with_the_certificate():
    found = cautions(trip(NIGRA, certificates=(MIC,), traveller="Ines Holt"))
    assert [(one.number, one.title) for one in found] == [
        (6, "certificate holder and traveller differ")
    ]
    assert numbers(trip(NIGRA, certificates=(MIC,), traveller="mirren vale")) == []


def test_6_a_piece_with_a_certificate_is_not_handed_over_abroad():
    handed = {"handed_over": "lent to a player in Aarhus"}
    assert numbers(trip(NIGRA, piece=handed, certificates=(MIC,))) == [6]
    assert numbers(trip(piece=handed)) == []


def test_7_an_earlier_crossing_without_a_stamp():
    words = "leaving again, NO, at Kristiansand"
    (one,) = cautions(replace(TRIP, unstamped=(words,)))
    assert (one.number, one.words) == (7, words)
    assert numbers(trip(NIGRA, certificates=(replace(MIC, unstamped=1),))) == [7]


def test_8_what_travels_is_on_the_carnet():
    off = {"on_carnet": False}
    assert numbers(trip(piece=off)) == [8]
    assert numbers(trip(piece=off, needs_carnet=False)) == []
    assert numbers(trip(piece=off | {"travels": False})) == []


def test_8_a_line_without_weight_or_value_is_named():
    (one,) = cautions(trip(piece={"incomplete": ("weight", "value")}))
    assert (one.number, one.words) == (8, "On the list without weight, value.")


@pytest.mark.parametrize(
    ("until", "speaks"), [(date(2026, 12, 12), True), (date(2026, 12, 13), False)]
)
def test_9_the_carnet_lasts_until_everything_is_home(until, speaks):
    assert numbers(replace(TRIP, valid_until=until)) == ([9] if speaks else [])


def test_10_a_loose_blank_of_listed_wood_is_not_exempt():
    # Source: annotation #15, definitions
    assert numbers(trip(replace(INDIAN, loose=True))) == [10]
    assert numbers(trip(Material("nut", "bone", "Bos taurus", loose=True))) == []


def test_11_a_tube_replaced_since_the_issue_is_named():
    (one,) = cautions(trip(piece={"replaced": ("V4: EL84",)}))
    assert (one.number, one.words.partition(".")[0]) == (11, "V4: EL84")
    assert numbers(trip(piece={"replaced": ("V4: EL84",), "on_carnet": False}))[0] == 8


def test_12_ivory_meets_stricter_law_in_the_union():
    ivory = Material("keys", "ivory", "Loxodonta africana")
    papers = (replace(MIC, species=("Loxodonta africana",)),)
    (one,) = cautions(trip(ivory, certificates=papers))
    assert (one.number, one.title) == (12, "stricter law in EU")
    assert numbers(trip(ivory, certificates=papers, territories=("NO",))) == []


def test_12_ivory_that_is_only_called_ivory_meets_it_too():
    assert numbers(trip(Material("keys", "ivory"))) == [4, 12]


def test_13_an_old_table_warns():
    assert numbers(replace(TRIP, stale_months=8)) == [13]
    assert numbers(replace(TRIP, stale_months=9)) == []


def test_13_a_table_older_than_the_last_conference_warns():
    found = cautions(replace(TRIP, last_conference=date(2026, 3, 6)))
    assert [one.title for one in found] == ["the table is older than the last conference"]


def test_there_are_thirteen_rules_and_cautions_come_by_number():
    assert len(RULES) == 13
    found = numbers(trip(NIGRA, UNKNOWN, piece={"on_carnet": False}, stale_months=1))
    assert found == [1, 4, 8, 13]
