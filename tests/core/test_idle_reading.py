"""From readings to dissipation; expected figures are worked by hand from volts times amperes."""

from decimal import Decimal

import pytest

from collection.core.events.measured import Measured, SocketRead
from collection.core.idle_reading import Limit, figures, published_limit, published_share, unlike
from collection.core.odd_reading import odd, odd_currents


def _said(method="probe", shared_by=1, mains="231", warm=25, **read):
    row = SocketRead("V4", **{"type": "EL34", "plate_volts": "460", **read}).row()
    return Measured("own", method, (row,), mains, warm, shared_by=shared_by)


def _figure(said, **limits):
    return figures(said, limits)[0]


def test_an_el34_read_at_the_cathode_stands_raw_and_corrected():
    """460 V, 38 mA at the cathode, 13 %, 25 W → 60.8 % (69.9); worked by hand from I × V."""
    found = _figure(_said(ma="38"))
    assert found.idle.percent == pytest.approx(60.8, abs=0.05)
    assert found.idle.uncorrected_percent == pytest.approx(69.9, abs=0.05)
    assert (found.estimated, found.share) == (True, 0.13)


def test_the_limit_stands_with_its_rating_system_and_sheet():
    """Philips/Mullard EL34: 25 W, design-centre; sheet as named in `core.tube_limits`."""
    assert published_limit("EL34") == Limit(25, "design-centre", "Philips/Mullard EL34")
    assert _figure(_said(ma="38")).limit == published_limit("EL34")
    own = _figure(_said(ma="38"), EL34=Limit(30, "design-maximum", "ours"))
    assert own.limit.watts == 30
    assert own.idle.percent == pytest.approx(60.8 * 25 / 30, abs=0.05)


def test_a_measured_screen_current_is_no_estimate():
    found = _figure(_said(ma="38", screen_ma="3.8"))
    assert found.share == pytest.approx(0.1)
    assert not found.estimated


def test_a_plate_current_needs_no_screen_share():
    found = _figure(_said("plate", ma="33.06"))
    assert found.share is None
    assert found.idle.percent == pytest.approx(60.8, abs=0.05)
    assert not found.estimated


def test_two_tubes_on_one_cathode_resistor_halve_its_current():
    """EL84, 325 V, 10.8 V across 128.57 Ω = 84 mA, half 42 mA, 5 %, 12 W → 104.5 %.

    Worked by hand; that class A amplifiers run there is common practice, no source.
    """
    shared = {"type": "EL84", "plate_volts": "325", "cathode_volts": "10.8"}
    found = _figure(_said("resistor", 2, resistor_ohms="128.571", **shared))
    assert found.current_ma == pytest.approx(42, abs=0.01)
    assert found.idle.percent == pytest.approx(104.5, abs=0.1)
    assert found.idle.over_limit


def test_millivolts_across_a_resistor_go_by_its_resistance_as_measured():
    """A 5 % resistor of 1.05 Ω: 39.9 mV are 38 mA."""
    found = _figure(_said("resistor", ma="39.9", resistor_ohms="1.05"))
    assert found.current_ma == pytest.approx(38)


def test_what_was_not_read_is_named_instead_of_a_figure():
    found = _figure(_said(plate_volts="", type="X99"))
    assert found.idle is None
    assert found.missing == (
        "no current was read", "no plate volts were read", "no limit of X99 is known",
    )  # fmt: skip


def test_a_cathode_above_its_plate_gives_no_figure_and_no_error():
    assert _figure(_said(ma="38", plate_volts="10", cathode_volts="20")).idle is None


def test_a_type_is_known_by_its_other_name():
    assert published_share("6CA7") == 0.13
    assert published_share("12AX7") is None


@pytest.mark.parametrize(("name", "share"), [("6V6GTA", 0.045), ("KT88", 0.06), ("6550A", 0.06)])
def test_a_published_share_serves_every_type_it_is_published_for(name, share):
    """Notes to an open bias meter design: 6V6 about 4.5 %, 6550 and KT88 about 6 %."""
    assert published_share(name) == share


def test_a_share_that_its_data_sheet_does_not_bear_out_is_marked():
    """Philips EL34 point: 14.9 of 114.9 mA, 13 %. EL84: 5.5 of 53.5 mA, 10 %; published are 5 %."""
    assert not _figure(_said(ma="38")).share_disagrees
    assert _figure(_said(ma="38", type="EL84")).share_disagrees
    assert not _figure(_said(ma="38", type="EL84", screen_ma="3.8")).share_disagrees


def test_a_6v6gta_read_at_the_cathode_is_corrected_for_its_screen():
    """350 V plate, 22 V cathode, 24 mA, 4.5 %, 14 W → 53.7 % (56.2); worked by hand from I × V."""
    read = {"type": "6V6GTA", "plate_volts": "350", "cathode_volts": "22", "ma": "24"}
    found = _figure(_said(**read))
    assert found.idle.percent == pytest.approx(53.7, abs=0.05)
    assert found.idle.uncorrected_percent == pytest.approx(56.2, abs=0.05)


@pytest.mark.parametrize(
    ("name", "watts", "sheet"),
    [("6550A", 42, "GE 6550A"), ("6550", 35, "Tung-Sol 6550"), ("6BQ5", 12, "Philips/Mullard EL84"),
     ("6SN7GTB", 5.0, "RCA 6SN7GTB")],
)  # fmt: skip
def test_a_limit_is_the_one_of_the_name_on_the_tube_where_it_has_its_own(name, watts, sheet):
    """The sheets named beside each figure; that of the 6SN7GTB from memory."""
    limit = published_limit(name)
    assert limit.watts == watts
    assert limit.sheet.startswith(sheet)


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"mains": "235"}, ()),
        ({"mains": "240"}, ("mains 240 V",)),
        ({"mains": ""}, ("mains volts not written",)),
        ({"warm": 5}, ("only 5 min warm",)),
        ({"method": "plate"}, ("read in the plate lead",)),
    ],
)
def test_readings_compare_only_when_they_were_taken_alike(changed, why):
    assert unlike(_said(ma="38", **changed), _said(ma="38")) == why


# -- typed wrong -----------------------------------------------------------------------------
def test_ten_times_its_mate_asks_for_the_point():
    read = {"V4": Decimal(38), "V5": Decimal(375)}
    limits = {"V4": Decimal("54.3"), "V5": Decimal("54.3")}
    doubts = odd_currents(read, last={}, at_limit=limits)
    assert set(doubts) == {"V5"}
    assert doubts["V5"].words == "375 mA is ten times V4"
    assert doubts["V5"].instead == Decimal("37.5")


def test_the_reading_that_fits_its_last_is_not_the_wrong_one():
    read = {"V4": Decimal("3.8"), "V5": Decimal(37)}
    last = {"V4": Decimal(38), "V5": Decimal(37)}
    doubts = odd_currents(read, last=last, at_limit={})
    assert {one: doubt.instead for one, doubt in doubts.items()} == {"V4": Decimal(38)}


def test_mates_far_apart_make_the_larger_one_doubtful():
    doubts = odd_currents({"V4": Decimal(20), "V5": Decimal(60)}, last={}, at_limit={})
    assert doubts["V5"].words == "60 mA is far from V4, 20 mA"
    assert doubts["V5"].instead is None


def test_an_unbalanced_pair_is_no_slip():
    limits = {"V4": Decimal(54), "V5": Decimal(54)}
    assert odd_currents({"V4": Decimal(28), "V5": Decimal(44)}, last={}, at_limit=limits) == {}


def test_both_typed_wrong_are_both_asked():
    limits = {"V4": Decimal(54), "V5": Decimal(54)}
    doubts = odd_currents({"V4": Decimal(380), "V5": Decimal(375)}, last={}, at_limit=limits)
    assert {one: doubt.instead for one, doubt in doubts.items()} == {
        "V4": Decimal(38), "V5": Decimal("37.5"),
    }  # fmt: skip


def test_no_current_at_all_is_no_slip_of_the_point():
    found = odd(Decimal(0), like=Decimal(38), unit="mA", what="V4")
    assert found.words == "0 mA is far from V4, 38 mA"
    assert found.instead is None


@pytest.mark.parametrize(("value", "instead"), [("2310", "231"), ("23.1", "231"), ("120", None)])
def test_mains_volts_far_from_the_plate_of_the_amplifier_are_asked(value, instead):
    found = odd(Decimal(value), like=Decimal(230), unit="V", what="mains", far=Decimal("1.3"))
    assert found.instead == (Decimal(instead) if instead else None)
