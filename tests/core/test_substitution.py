"""Which tube may stand in for which, and the table of limits. Sources stand beside each case."""

import pytest

from collection.core.substitution import substitution
from collection.core.tube_limits import RECTIFIER_ORDER, SOLID_STATE, TUBE_TYPES, known


@pytest.mark.parametrize(
    ("socket", "offered"),
    [
        # Philips ECC83 (1954), ECC81; RCA 6BQ5; Philips/Mullard EL34, GZ34: double numbering.
        ("12AX7", "ECC83"),
        ("ECC83", "12AX7"),
        ("12ax7", "7025"),
        ("12AT7", "ECC81"),
        ("EL84", "6BQ5"),
        ("EL34", "6CA7"),
        ("GZ34", "5AR4"),
        ("6V6GT", "6V6GTA"),  # RCA RC-30: the A stands more
    ],
)
def test_exact_equivalents_are_the_same(socket, offered):
    assert substitution(socket, offered).level == "same"


@pytest.mark.parametrize(
    ("socket", "offered", "reason"),
    [
        # The 6N2P sheet, read in a transcription: pin 9 is a shield, heater on 4 and 5.
        ("12AX7", "6N2P", "pin 9 is a shield"),
        ("ECC83", "6N2P", "pin 9 is a shield"),
        # Philips EL34, RCA 6L6: suppressor on pin 1; 1.5 A against 0.9 A.
        ("6L6GC", "EL34", "Another pin-out"),
        ("6L6GC", "EL34", "1.5 A instead of 0.9 A"),
        # GEC KT88, RCA 6L6GC: 1.6 − 0.9 A.
        ("6L6GC", "KT88", "+0.70 A"),
        ("6V6GT", "6L6GC", "0.9 A instead of 0.45 A"),
        ("6L6GC", "6V6GT", "rated 12 W a plate, the place is for 30 W"),
        ("EL84", "EL34", "octal base"),
        ("EL84", "12AX7", "Another pin-out"),
        ("6SL7GT", "6SN7GT", "0.6 A instead of 0.3 A"),
        # Order of rectifiers: notes at kcanostubes.com.
        ("5Y3GT", "GZ34", "raises the supply"),
        ("5Y3GT", "5U4G", "3 A instead of 2 A"),
        ("5U4G", "5AR4", "raises the supply"),
        ("GZ34", "solid state", "Solid state raises the supply"),
        ("GZ34", "5U4GB", "too much for the winding"),
    ],
)
def test_a_hazard_is_refused_with_its_reason(socket, offered, reason):
    verdict = substitution(socket, offered)
    assert verdict.level == "wrong"
    assert reason in " ".join(verdict.sentences)


@pytest.mark.parametrize(
    ("socket", "offered", "differs"),
    [
        ("12AX7", "12AX7A", "1.2 W design-maximum"),  # RCA 12AX7A, Data 1, 10-60
        ("12AX7A", "ECC83", "1.0 W design-centre"),  # Philips ECC83, 1954
        ("12AX7", "5751", "heater 0.35 A"),  # from memory
        ("12AU7", "5814A", "heater 0.35 A"),  # from memory
        ("12AX7", "12AY7", "Gain and current differ"),  # one pin-out, RCA 12AX7 and 12AY7
        ("6V6GTA", "6V6GT", "12 W design-centre"),  # RCA RC-30
        ("EL34", "KT77", "check bias and screen"),  # common practice, no source
        ("6L6GC", "KT66", "1.27 A instead of 0.9 A (+0.37 A): check the winding"),  # GEC KT66
        ("6L6GC", "6L6", "rated 19 W a plate, the place is for 30 W"),  # RCA 6L6, 6L6GC
        ("6L6GC", "6L6G", "rated 19 W a plate, the place is for 30 W"),
        ("6550A", "6550", "rated 35 W a plate, the place is for 42 W"),  # Tung-Sol 6550, GE 6550A
        ("GZ34", "5Y3GT", "125 mA at most, a GZ34 250 mA"),  # Philips GZ34, RCA 5Y3GT
        ("EL34", "6L6GC", "Set the bias anew"),  # pin 1 of a 6L6GC is free, RCA 6L6GC
    ],
)
def test_what_nearly_fits_says_what_differs(socket, offered, differs):
    verdict = substitution(socket, offered)
    assert verdict.level == "near"
    assert differs in " ".join(verdict.sentences)


def test_what_the_table_does_not_know_is_left_to_a_person():
    assert substitution("12AX7", "ZZ99").level == "unknown"
    assert substitution("ZZ99", "12AX7").level == "unknown"
    assert substitution("ZZ99", "zz-99").level == "same"


@pytest.mark.parametrize("socket", TUBE_TYPES, ids=lambda record: record.type)
def test_every_verdict_but_same_gives_a_reason(socket):
    for offered in TUBE_TYPES:
        verdict = substitution(socket.type, offered.type)
        assert bool(verdict.sentences) == (verdict.level != "same"), offered.type


def test_no_rectifier_is_ever_allowed_to_raise_the_supply():
    for place, lower in enumerate(RECTIFIER_ORDER):
        for higher in RECTIFIER_ORDER[:place]:
            assert substitution(lower, higher).level == "wrong", (lower, higher)


@pytest.mark.parametrize(
    ("code", "figures"),
    [
        # The sheets named in the table, read in transcriptions; kept side by side on purpose.
        ("12AX7", {("12AX7", 1.0), ("ECC83", 1.0), ("7025", 1.0), ("12AX7A", 1.2)}),
        ("6V6GT", {("6V6GT", 12)}),
        ("6V6GTA", {("6V6GTA", 14)}),
        ("6550", {("6550", 35), ("6550A", 42)}),
        ("KT88", {("KT88", 35), ("KT88", 42)}),
        ("EL34", {("EL34", 25)}),
    ],
)
def test_conflicting_limits_are_all_kept(code, figures):
    assert {(limit.type, limit.plate_watts) for limit in known(code).limits} == figures


def test_every_limit_names_its_sheet_and_every_tube_but_a_rectifier_has_one():
    for record in TUBE_TYPES:
        assert all(limit.sheet for limit in record.limits)
        assert (record.plate_watts is None) == (record.does == "rectifier"), record.type


@pytest.mark.parametrize(
    ("code", "plate_ma", "watts"),
    # Class A points of Philips EL84 and EL34, RCA 6V6GT at 250 V: at the limit, never beyond.
    [("EL84", 48, 12.0), ("EL34", 100, 25.0), ("6V6GT", 45, 11.25), ("6550", 140, 35.0)],
)
def test_class_a_points_of_the_sheets_stay_within_the_limits(code, plate_ma, watts):
    assert 250 * plate_ma / 1000 == watts <= known(code).plate_watts


def test_the_order_of_rectifiers_names_known_types():
    assert all(name == SOLID_STATE or known(name).type == name for name in RECTIFIER_ORDER)


def test_a_twin_heater_takes_half_the_current_at_twice_the_volts():
    for record in TUBE_TYPES:
        watts = {round(heater.volts * heater.amps, 3) for heater in record.heaters}
        assert len(watts) == 1, record.type
