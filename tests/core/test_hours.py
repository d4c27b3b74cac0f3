"""Hours of parts on two clocks: worked by hand, then held against a naive replay.

That wear is counted on two clocks is common practice, no source; the rules are house rules.
"""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.hours import part_hours
from collection.core.hours_records import At, Clocks, Fitting, MeterReading, Session


def at(moment):
    """Moments and entry numbers run together here."""
    return At(moment * 10**6, moment)


def fitting(part, put_in, taken_out=None, *, piece="A-1", position="V1"):
    end = None if taken_out is None else at(taken_out)
    return Fitting(part, piece, position, at(put_in), end)


def session(moment, heater, ht=None, *, piece="A-1"):
    told = [None if hours is None else Decimal(hours) for hours in (heater, ht)]
    return Session(piece, at(moment), *told)


def meter(moment, hours, *, clock="ht", piece="A-1"):
    return MeterReading(piece, at(moment), clock, Decimal(hours))


def ran(heater, ht):
    return Clocks(Decimal(heater), Decimal(ht))


def test_a_part_counts_what_its_piece_ran_while_it_was_in():
    found = part_hours(
        [fitting("T1", 2, 6)],
        [
            session(1, "9", "9"),
            session(3, "2.5", "1.5"),
            session(5, "2", "1"),
            session(7, "9", "9"),
        ],
    )
    assert found.parts == {"T1": ran("4.5", "2.5")}
    assert found.findings == ()


def test_hours_move_along_and_what_it_brought_stays_with_it():
    found = part_hours(
        [fitting("T1", 1, 4), fitting("T1", 5, piece="A-2", position="V3")],
        [
            *(session(2, "2", "1"), session(6, "9", "9")),
            *(session(3, "9", "9", piece="A-2"), session(7, "0.2", "0.1", piece="A-2")),
        ],
        brought={"T1": ran("100", "80"), "T9": ran("3", "2")},
    )
    assert found.parts == {"T1": ran("102.2", "81.1"), "T9": ran("3", "2")}


def test_a_thousand_tenths_are_exactly_a_hundred():
    sessions = [session(2 + n, "0.1", "0.1") for n in range(1000)]
    assert part_hours([fitting("T1", 1)], sessions).parts["T1"] == ran("100", "100")


def test_a_part_fitted_elsewhere_without_being_taken_out_is_found_and_leaves_then():
    found = part_hours(
        [fitting("T1", 1), fitting("T1", 4, piece="A-2")],
        [session(2, "1", "1"), session(5, "1", "1"), session(6, "1", "1", piece="A-2")],
    )
    assert found.parts["T1"] == ran("2", "2")
    (only,) = found.findings
    assert only.sentence == "T1 was fitted in A-2 V1 while T1 was still in A-1 V1."
    assert only.entries == (1, 4)


def test_a_part_put_where_another_is_turns_that_one_out_and_is_found():
    found = part_hours(
        [fitting("T1", 1, 9), fitting("T2", 4)], [session(2, "1", "1"), session(5, "1", "1")]
    )
    assert found.parts == {"T1": ran("1", "1"), "T2": ran("1", "1")}
    (only,) = found.findings
    assert only.sentence == "T2 was fitted in A-1 V1 while T1 was still in A-1 V1."


def test_every_fitting_inside_a_stated_stay_is_found():
    found = part_hours([fitting("T1", 1, 10), fitting("T2", 3, 4), fitting("T3", 6, 7)], [])
    assert [finding.entries for finding in found.findings] == [(1, 3), (1, 6)]


def test_two_parts_in_unknown_positions_of_a_piece_do_not_contradict():
    found = part_hours(
        [fitting("T1", 1, position=""), fitting("T2", 2, position="")], [session(3, "1", "1")]
    )
    assert found.parts == {"T1": ran("1", "1"), "T2": ran("1", "1")}
    assert found.findings == ()


def test_taken_out_before_put_in_is_found_and_counts_nothing():
    found = part_hours([fitting("T1", 5, 2)], [session(3, "1", "1"), session(6, "1", "1")])
    assert found.parts["T1"] == ran("0", "0")
    assert [f.sentence for f in found.findings] == [
        "T1 was taken out of A-1 V1 before it was put in."
    ]


def test_hours_not_told_or_impossible_are_found_and_the_others_still_count():
    found = part_hours(
        [fitting("T1", 1)],
        [session(2, "1"), session(3, "-1", "1"), session(4, "NaN", None), session(5, "1", "2")],
    )
    assert found.parts["T1"] == ran("2", "3")
    assert [(f.entries, f.sentence) for f in found.findings] == [
        ((2,), "The HT hours that A-1 ran are not told."),
        ((3,), "A-1 ran 1 h on HT but only -1 h on its heaters."),
        ((3,), "The heater hours that A-1 ran cannot be -1."),
        ((4,), "The HT hours that A-1 ran are not told."),
        ((4,), "The heater hours that A-1 ran cannot be NaN."),
        ((5,), "A-1 ran 2 h on HT but only 1 h on its heaters."),
    ]


def test_a_meter_adds_what_the_log_lacks_on_its_own_clock():
    found = part_hours(
        [fitting("T1", 1)],
        [session(3, "2", "2"), session(5, "2", "2")],
        [meter(2, "100"), meter(4, "103.5"), meter(6, "105.5")],
    )
    assert found.parts["T1"] == ran("4", "5.5")
    assert found.findings == ()


def test_who_ran_unlogged_hours_is_not_known_when_parts_were_changed():
    found = part_hours(
        [fitting("T1", 1, 4), fitting("T2", 5)],
        [session(3, "1", "1")],
        [meter(2, "10"), meter(6, "13")],
    )
    assert found.parts == {"T1": ran("1", "1"), "T2": ran("0", "2")}
    (only,) = found.findings
    assert only.sentence == (
        "2 h of A-1 are on its HT meter and not in the log; whether T1, T2 ran them is not known."
    )


def test_a_meter_that_goes_back_or_shows_less_than_the_log_is_found_and_the_log_kept():
    found = part_hours(
        [fitting("T1", 1)],
        [session(3, "5", "5")],
        [meter(2, "10"), meter(4, "12"), meter(5, "1"), meter(6, "3")],
    )
    assert found.parts["T1"] == ran("5", "7")
    assert [finding.sentence for finding in found.findings] == [
        "The log of A-1 has 3 h more than its HT meter.",
        "The HT meter of A-1 went back from 12 h to 1 h.",
    ]


# -- a naive replay --------------------------------------------------------------------------


def replay(fittings, sessions, meters):
    """Step through the book entry by entry; return hours and pairs that contradict."""
    events = [(f.put_in, "in", f) for f in fittings]
    events += [(f.taken_out, "out", f) for f in fittings if f.taken_out]
    events += [(s.at, "ran", s) for s in sessions] + [(m.at, "meter", m) for m in meters]
    stands, hours, shown, since = {}, {}, {}, {}
    for f in fittings:
        hours[f.part] = {"heater": Decimal(0), "ht": Decimal(0)}

    def run(piece, clock, amount):
        for part, place in stands.items():
            if place.piece == piece:
                hours[part][clock] += amount

    for _, what, it in sorted(events, key=lambda event: event[0]):
        if what == "in":
            for part, place in list(stands.items()):
                if (place.piece, place.position) == (it.piece, it.position):
                    del stands[part]
            stands[it.part] = it
            if it.taken_out and it.taken_out < it.put_in:
                del stands[it.part]
        elif what == "out" and stands.get(it.part) is it:
            del stands[it.part]
        elif what == "ran":
            for clock, told in (("heater", it.heater_hours), ("ht", it.ht_hours)):
                if told is not None:
                    run(it.piece, clock, told)
                    key = it.piece, clock
                    since[key] = since.get(key, 0) + told
        elif what == "meter":
            key = it.piece, it.clock
            if key in shown:
                run(it.piece, it.clock, max(Decimal(0), it.hours - shown[key] - since.get(key, 0)))
            shown[key], since[key] = it.hours, 0
    return {part: Clocks(**clocks) for part, clocks in hours.items()}


def overlapping(fittings):
    """Pairs of fittings of one part, or in one position, whose stated stays overlap."""
    pairs = set()
    ordered = sorted(fittings, key=lambda f: f.put_in)
    for place, first in enumerate(ordered):
        rivals = [
            other
            for other in ordered[place + 1 :]
            if other.part == first.part
            or (other.piece, other.position) == (first.piece, first.position)
        ]
        if first.taken_out is None:
            rivals = rivals[:1]
        pairs |= {
            (first.put_in.number, other.put_in.number)
            for other in rivals
            if first.taken_out is None or other.put_in < first.taken_out
        }
        if first.taken_out and first.taken_out < first.put_in:
            pairs.add((first.put_in.number, first.taken_out.number))
    return pairs


@st.composite
def histories(draw):
    """Fittings, sessions and meter readings at moments that are all different, in any order."""
    kinds = draw(st.lists(st.sampled_from(["fit", "fit", "ran", "ran", "meter"]), max_size=14))
    moments = iter(draw(st.permutations(range(1, 2 * len(kinds) + 1))))
    pieces, tenths = st.sampled_from(["A-1", "A-2"]), st.integers(0, 60)
    hours = tenths.map(lambda n: Decimal(n) / 10)
    fittings, sessions, meters = [], [], []
    for kind in kinds:
        piece = draw(pieces)
        if kind == "fit":
            part, position = draw(st.sampled_from("T1 T2 T3".split())), draw(st.sampled_from("VW"))
            first, second = next(moments), next(moments)
            end = draw(st.sampled_from([None, at(second), at(max(first, second))]))
            end = None if end == at(first) else end
            fittings.append(Fitting(part, piece, position, at(first), end))
        elif kind == "ran":
            heater = draw(hours)
            sessions.append(Session(piece, at(next(moments)), heater, min(heater, draw(hours))))
        else:
            clock = draw(st.sampled_from(["heater", "ht"]))
            meters.append(MeterReading(piece, at(next(moments)), clock, draw(hours)))
    return fittings, sessions, meters


@given(histories())
@settings(max_examples=200, deadline=None)
def test_hours_of_every_part_equal_a_naive_replay(history):
    fittings, sessions, meters = history
    assert part_hours(fittings, sessions, meters).parts == replay(fittings, sessions, meters)


@given(histories())
@settings(max_examples=200, deadline=None)
def test_every_contradiction_between_fittings_is_found_and_no_other(history):
    fittings, sessions, _ = history
    found = part_hours(fittings, sessions).findings
    assert {finding.entries for finding in found} == overlapping(fittings)
    assert len(found) == len({finding.entries for finding in found})


@given(histories(), st.randoms(use_true_random=False))
@settings(deadline=None)
def test_the_order_in_which_entries_are_given_changes_nothing(history, draw):
    shuffled = [draw.sample(each, len(each)) for each in history]
    assert part_hours(*history) == part_hours(*shuffled)
