"""Places of marks, strips and the fan, worked by hand."""

from datetime import UTC, datetime
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.drawing import (
    FanSeries,
    Leg,
    Moment,
    day_strip,
    fan_plot,
    gauge,
    grade_row,
    leg_strip,
    place,
    year_strip,
)
from collection.core.drawing.fan import nice_step, runs_out
from collection.core.drawing.scale import labels


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, 24, hour, minute, tzinfo=UTC)


class TestScale:
    def test_a_place_is_its_share_of_the_scale(self):
        # 15:20 on a line from 14:00 to 23:00 is 80 of 540 minutes
        assert place(80, 0, 540) == 14.81

    def test_a_place_never_leaves_the_scale(self):
        assert (place(-1, 0, 10), place(11, 0, 10)) == (0, 100)

    def test_a_scale_without_length_is_refused(self):
        with pytest.raises(ValueError, match="needs a length"):
            place(1, 5, 5)

    def test_a_label_with_exactly_its_room_stays_on_the_line(self):
        assert [label.level for label in labels([(10, "", ""), (27, "", "")], 17)] == [0, 0]
        assert [label.level for label in labels([(10, "", ""), (26, "", "")], 17)] == [0, 1]

    @given(st.lists(st.floats(0, 100), max_size=12), st.floats(1, 40))
    def test_labels_on_one_line_keep_their_room(self, places, room):
        set_down = labels([(x, "", "") for x in places], room)
        assert len(set_down) == len(places)
        for level in {label.level for label in set_down}:
            line = [label.x for label in set_down if label.level == level]
            assert all(b - a >= room for a, b in pairwise(line))


class TestGrade:
    def test_the_backup_fills_its_box_and_the_stroke_stands_behind_the_accepted_one(self):
        row = grade_row(2, 2)
        assert [box.here for box in row.boxes] == [False, True, False, False, False]
        # box 2 spans 19 to 30, box 3 begins at 37: half way is 33.5
        assert (row.stroke, row.too_far) == (33.5, False)

    def test_a_backup_past_the_stroke_is_too_far(self):
        assert grade_row(3, 2).too_far

    def test_without_an_accepted_outage_there_is_no_stroke_and_no_verdict(self):
        row = grade_row(5, None)
        assert (row.stroke, row.too_far) == (None, False)

    @pytest.mark.parametrize("step", [0, 6])
    def test_a_sixth_box_is_refused(self, step):
        with pytest.raises(ValueError, match="1 to 5"):
            grade_row(step, None)


class TestGauge:
    def test_one_mark_is_one_tube_up_to_sixty(self):
        drawn = gauge({"sealed": 60, "dead": 3})
        assert drawn.each == 1
        assert [(row.state, len(row.marks)) for row in drawn.rows] == [("sealed", 60), ("dead", 3)]

    def test_past_sixty_a_mark_stands_for_a_round_number_in_every_row(self):
        drawn = gauge({"sealed": 412, "tested": 61, "pulled": 1})
        assert drawn.each == 10
        assert [len(row.marks) for row in drawn.rows] == [42, 7, 1]

    def test_the_thirty_first_mark_begins_a_second_line(self):
        (row,) = gauge({"sealed": 31}).rows
        assert (row.marks[29].x, row.marks[29].y) == (290.6, 1)
        assert (row.marks[30].x, row.marks[30].y) == (0.6, 20)
        assert row.high == 36  # two lines of 19, without the last gap of 2

    def test_a_state_without_tubes_has_no_row(self):
        assert gauge({"sealed": 0, "dead": 1}).rows[0].state == "dead"

    def test_a_state_without_a_drawing_is_refused(self):
        with pytest.raises(ValueError, match="no drawing for 'lost'"):
            gauge({"lost": 1})

    @given(st.integers(0, 60_000))
    def test_no_row_needs_more_than_sixty_marks_and_none_is_lost(self, count):
        drawn = gauge({"sealed": count})
        marks = len(drawn.rows[0].marks) if drawn.rows else 0
        assert marks <= 60
        assert (marks - 1) * drawn.each < count <= marks * drawn.each or count == marks == 0


class TestDayStrip:
    def test_hours_are_ticks_and_moments_stand_at_their_time(self):
        strip = day_strip(
            [Moment(at(16, 30), "line check"), Moment(at(19), "doors")],
            start=at(14), end=at(23), now=at(15, 20),
        )  # fmt: skip
        assert len(strip.ticks) == 10
        assert [(one.text, one.x) for one in strip.labels] == [("16:30", 27.78), ("19:00", 55.56)]
        assert (strip.now, strip.lines) == (14.81, 1)

    def test_moments_close_together_take_a_second_line(self):
        strip = day_strip(
            [Moment(at(16, 30), "line check"), Moment(at(17), "dinner")],
            start=at(14), end=at(23), now=None,
        )  # fmt: skip
        assert ([one.level for one in strip.labels], strip.lines) == ([0, 1], 2)

    def test_what_is_outside_the_line_is_left_out(self):
        strip = day_strip([Moment(at(9), "load-in")], start=at(14), end=at(23), now=at(13))
        assert (strip.labels, strip.now) == ((), None)

    def test_ticks_begin_at_the_first_full_hour(self):
        strip = day_strip([], start=at(14, 30), end=at(16, 30), now=None)
        assert strip.ticks == (25, 75)


class TestYearStrip:
    def test_a_year_takes_its_full_width(self):
        strip = year_strip(1964, 1968, best=(1965, 1965), first=1961, last=1970)
        assert (strip.x, strip.width) == (30, 50)  # five years of ten
        assert strip.best == (40, 10)
        assert (strip.open_start, strip.open_end) == (False, False)
        assert [one.text for one in strip.labels] == ["1964", "1968"]

    def test_an_unknown_start_runs_to_the_edge_and_is_open(self):
        strip = year_strip(None, 1966, best=None, first=1957, last=1976)
        assert (strip.x, strip.width, strip.open_start, strip.open_end) == (0, 50, True, False)
        assert strip.labels[0].text == "1966 or before"

    def test_a_narrow_window_says_both_years_once(self):
        strip = year_strip(1964, 1965, best=None, first=1961, last=1970)
        assert [one.text for one in strip.labels] == ["1964 to 1965"]

    def test_a_window_that_ends_before_it_starts_is_refused(self):
        with pytest.raises(ValueError, match="before it starts"):
            year_strip(1968, 1964, best=None, first=1961, last=1970)


class TestLegStrip:
    WAY = (Leg("wait", 58, False), Leg("road", 25, False), Leg("carry", 5, False))

    def test_legs_follow_each_other(self):
        strip = leg_strip(self.WAY, start=at(15, 42), end=at(21, 42), limits=[at(19)])
        # six hours: 58 of 360 minutes are 16.11 percent
        assert [(one.kind, one.x, one.width) for one in strip.boxes] == [
            ("wait", 0, 16.11), ("road", 16.11, 6.95), ("carry", 23.06, 1.38),
        ]  # fmt: skip
        assert (strip.ready_at, strip.late, strip.limits) == (at(17, 10), False, (55,))

    def test_what_ends_after_the_first_limit_is_late(self):
        way = [Leg("sea", 199, True)]
        assert leg_strip(way, start=at(15, 42), end=at(21, 42), limits=[at(19), at(20)]).late

    def test_on_the_stroke_of_the_limit_is_in_time(self):
        way = [Leg("road", 198, False)]
        assert not leg_strip(way, start=at(15, 42), end=at(21, 42), limits=[at(19)]).late

    def test_a_leg_past_the_end_is_cut_and_one_beyond_it_is_not_drawn(self):
        way = [Leg("road", 30, False), Leg("sea", 90, True), Leg("carry", 5, False)]
        strip = leg_strip(way, start=at(15), end=at(16), limits=[])
        assert [(one.kind, one.right) for one in strip.boxes] == [("road", 50), ("sea", 100)]
        assert strip.ready_at == at(17, 5)

    def test_a_leg_without_a_pattern_is_refused(self):
        with pytest.raises(ValueError, match="no pattern for a leg 'rail'"):
            leg_strip([Leg("rail", 5, False)], start=at(15), end=at(16), limits=[])


class TestFan:
    EVEN = FanSeries("without", (2026, 2030, 2034), (20, 0, 0), (20, 10, 0), (20, 15, 10))

    def test_the_middle_line_and_the_band_are_paths_in_a_box_of_a_hundred(self):
        (line,) = fan_plot([self.EVEN]).lines
        assert line.line == "M0.0 0.0L50.0 50.0L100.0 100.0"
        # along the upper edge, back along the lower one, which meets zero in 2030
        assert line.band == "M0.0 0.0L50.0 25.0L100.0 50.0L50.0 100.0L0.0 0.0Z"
        assert (line.out, line.out_year, line.dashed) == (2034, 2034, False)

    def test_the_upright_figures_rise_in_round_steps(self):
        plot = fan_plot([self.EVEN])
        assert plot.heights == (
            (100, "0"), (75, "5"), (50, "10"), (25, "15"), (0, "20"),
        )  # fmt: skip

    def test_every_forecast_after_the_first_is_dashed(self):
        assert [line.dashed for line in fan_plot([self.EVEN, self.EVEN]).lines] == [False, True]

    def test_a_line_that_never_meets_zero_has_no_year(self):
        lasting = FanSeries("with", (2026, 2030), (5, 4), (6, 5), (7, 6))
        plot = fan_plot([lasting])
        assert (plot.lines[0].out_year, plot.ends) == (None, ())

    def test_what_rises_again_after_zero_is_not_drawn(self):
        refilled = FanSeries("without", (2026, 2028, 2030), (4, 0, 4), (4, 0, 4), (4, 0, 4))
        assert fan_plot([refilled]).lines[0].line == "M0.0 0.0L50.0 100.0"

    def test_nothing_left_now_runs_out_now(self):
        assert runs_out([2026, 2030], [0, 0]) == 2026

    @pytest.mark.parametrize(("most", "step"), [(0, 1), (5, 1), (6, 2), (34, 10), (101, 50)])
    def test_steps_are_one_two_or_five_times_a_power_of_ten(self, most, step):
        assert nice_step(most) == step

    @pytest.mark.parametrize(
        ("years", "middle", "said"),
        [((2026,), (1,), "2 or more"), ((2026, 2026), (1, 1), "do not rise"),
         ((2026, 2027), (1, float("inf")), "not finite")],
    )  # fmt: skip
    def test_a_forecast_that_cannot_be_drawn_is_refused(self, years, middle, said):
        with pytest.raises(ValueError, match=said):
            fan_plot([FanSeries("without", years, middle, middle, middle)])
