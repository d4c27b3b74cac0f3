"""Dates in the Extended Date/Time Format."""

import json
import pickle
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.partial_date import PartialDate, PartialDateError

VECTORS = json.loads(
    (Path(__file__).parents[2] / "fixtures/vectors/edtf.json").read_text(encoding="utf-8")
)
FLAGS = ("uncertain", "approximate", "open_start", "open_end", "unknown_start", "unknown_end")


def refusal(reader, text):
    """The error a text is refused with, or None; any other error passes through."""
    try:
        reader(text)
    except PartialDateError as error:
        return error
    return None


def bounds(text):
    found = PartialDate.parse(text)
    return tuple(day and day.isoformat() for day in (found.earliest, found.latest))


@pytest.mark.parametrize("row", VECTORS["spec"], ids=lambda row: row["text"])
def test_every_string_of_the_specification_has_its_bounds_and_flags(row):
    # Source: VECTORS["source"].
    found = PartialDate.parse(row["text"])
    assert bounds(row["text"]) == (row["earliest"], row["latest"])
    assert [flag for flag in FLAGS if getattr(found, flag)] == row.get("flags", [])


@pytest.mark.parametrize("row", VECTORS["house"]["dates"], ids=lambda row: row["text"])
def test_where_the_specification_leaves_room_the_house_rule_holds(row):
    assert bounds(row["text"]) == (row["earliest"], row["latest"])


@pytest.mark.parametrize("row", VECTORS["refused"], ids=lambda row: repr(row["text"]))
def test_what_is_no_date_here_is_refused_with_place_and_reason(row):
    with pytest.raises(PartialDateError) as caught:
        PartialDate.parse(row["text"])
    assert 0 <= caught.value.position <= len(row["text"])
    assert caught.value.reason in str(caught.value)


@pytest.mark.parametrize(
    ("text", "position"),
    [
        ("2025-13-01", 5),
        ("2025-02-31", 8),
        ("19585", 4),
        ("1958-4", 6),
        ("1958 ", 4),
        ("1962/1958", 5),
        ("1958/196x", 8),
        ("[1958,1959,19]", 13),
        ("1985-04-12T23:61:00", 14),
        ("1950S2", 4),
        ("[1958", 5),
        ("2004-06-11 ", 10),
        ("1958/1959/1960", 9),
    ],
)
def test_a_refusal_points_at_the_character(text, position):
    with pytest.raises(PartialDateError) as caught:
        PartialDate.parse(text)
    assert caught.value.position == position


@pytest.mark.parametrize("thing", [None, 1961, b"1961", date(1961, 1, 1), ["1961"]])
def test_what_is_not_text_is_refused_in_the_same_way(thing):
    with pytest.raises(PartialDateError, match="a date is text"):
        PartialDate.parse(thing)


def test_a_date_of_64_characters_is_read_and_one_more_is_refused():
    months = ",".join(["1961-01"] * 7)
    longest = f"[{months},?1961]"
    longest = longest.replace("1961-01,", "?1961-01,", 1)
    assert len(longest) == 64
    assert PartialDate.parse(longest).latest == date(1961, 12, 31)
    with pytest.raises(PartialDateError, match="at most 64"):
        PartialDate.parse(longest.replace(",1961-01,", ",?1961-01,", 1))


def test_an_unknown_end_is_not_an_open_end():
    assert PartialDate.parse("1985/") != PartialDate.parse("1985/..")
    assert PartialDate.parse("1985/").unknown_end
    assert not PartialDate.parse("1985/").open_end


def test_a_refusal_survives_a_process_boundary():
    with pytest.raises(PartialDateError) as caught:
        PartialDate.parse("1958-4")
    copy = pickle.loads(pickle.dumps(caught.value))
    assert (copy.position, copy.reason) == (caught.value.position, caught.value.reason)


def test_a_date_is_a_value():
    assert PartialDate.parse("1961~") == PartialDate.parse("1961~")
    assert (
        len({PartialDate.parse("1961"), PartialDate.parse("1961"), PartialDate.parse("1961?")}) == 2
    )
    with pytest.raises(AttributeError):
        PartialDate.parse("1961").text = "1962"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1985~", "about 1985"),
        ("1961?", "possibly 1961"),
        ("1961%", "possibly about 1961"),
        ("1958/1960", "1958 to 1960"),
        ("../1970", "before 1970"),
        ("../2019-06-09", "on or before 9 June 2019"),
        ("1970/..", "from 1970 on"),
        ("1970/", "1970 to an unknown date"),
        ("/1970", "an unknown date to 1970"),
        ("2019-06-09", "9 June 2019"),
        ("2019-06", "June 2019"),
        ("196X", "the 1960s"),
        ("196X~", "about the 1960s"),
        ("18XX", "the 1800s"),
        ("190X", "some year from 1900 to 1909"),
        ("1985-XX", "some month of 1985"),
        ("1985-04-XX", "some day of April 1985"),
        ("1985-XX-XX", "some day of 1985"),
        ("156X-12-25", "some day from 25 December 1560 to 25 December 1569, written 156X-12-25"),
        ("2001-21", "spring 2001"),
        ("2001-28", "winter 2001 (northern)"),
        ("2001-29", "spring 2001 (southern)"),
        ("2001-34", "the second quarter of 2001"),
        ("2001-37", "early 2001"),
        ("2001-41", "the second half of 2001"),
        ("[1959,1961]", "1959 or 1961"),
        ("[1667,1668,1670..1672]", "1667, 1668 or 1670 to 1672"),
        ("{1960,1961-12}", "all of 1960 and December 1961"),
        ("[..1984]", "1984 or earlier"),
        ("[1760-12..]", "December 1760 or later"),
        ("1985-04-12T23:20:30Z", "12 April 1985 at 23:20:30 UTC"),
        ("1985-04-12T23:20:30+04:30", "12 April 1985 at 23:20:30 UTC+04:30"),
        ("1985-04-12T23:20:30", "12 April 1985 at 23:20:30 local time"),
        ("2004-06-~11", "11 June 2004 (day approximate)"),
        ("2004?-06-11", "11 June 2004 (year uncertain)"),
        ("2004-06~-11", "11 June 2004 (year approximate, month approximate)"),
        ("0987", "AD 987"),
    ],
)
def test_a_date_is_said_in_words(text, words):
    # House wording, no source.
    assert PartialDate.parse(text).sentence() == words


# -- laws ------------------------------------------------------------------------------------

days = st.dates()
marks = st.sampled_from(["", "?", "~", "%"])


@st.composite
def simple(draw):
    day, mark = draw(days), draw(marks)
    return draw(st.sampled_from([day.isoformat(), day.isoformat()[:7], day.isoformat()[:4]])) + mark


@st.composite
def masked(draw):
    figures = list(draw(simple()).rstrip("?~%"))
    for place in draw(st.sets(st.sampled_from([i for i, c in enumerate(figures) if c != "-"]))):
        figures[place] = "X"
    return "".join(figures)


@st.composite
def anything(draw):
    single = st.one_of(simple(), masked())
    joined = st.lists(single, min_size=1, max_size=3).map(",".join)
    return draw(
        st.one_of(
            single,
            st.tuples(single | st.just(".."), single | st.just("")).map("/".join),
            joined.map("[{}]".format),
            joined.map("{{{}}}".format),
            st.text("0123456789X-/?~%.[]{},TZ:", max_size=20),
        )
    )


@given(anything())
def test_law_earliest_is_never_after_latest_and_the_text_comes_back(text):
    refused = refusal(PartialDate.parse, text)
    if refused:
        assert 0 <= refused.position <= len(text)
        return
    found = PartialDate.parse(text)
    assert found.text == text
    assert found.sentence()
    assert (found.earliest is None) == (found.open_start or found.unknown_start)
    assert (found.latest is None) == (found.open_end or found.unknown_end)
    if found.earliest and found.latest:
        assert found.earliest <= found.latest


@given(days)
def test_law_every_real_day_lies_in_its_own_decade_month_and_masked_forms(day):
    text = day.isoformat()
    forms = [text, text[:7], text[:4], text[:3] + "X", text[:2] + "XX", text[:8] + "XX"]
    forms += [text[:5] + "XX-XX", text[:3] + "X" + text[4:], text[:9] + "X", "XXXX" + text[4:]]
    for form in forms:
        found = PartialDate.parse(form)
        assert found.earliest <= day <= found.latest, form


@settings(max_examples=50)
@given(masked())
def test_law_bounds_of_unknown_digits_are_the_first_and_last_real_day_that_fit(text):
    """Brute force over the days near each bound: nothing that fits lies just outside."""
    try:
        found = PartialDate.parse(text)
    except PartialDateError:
        return
    if len(text) < 10:
        return

    def fits(day):
        return all(a in ("X", b) for a, b in zip(text, day.isoformat(), strict=True))

    assert fits(found.earliest)
    assert fits(found.latest)
    for step in range(1, 400):
        if (found.earliest - date.min).days >= step:
            assert not fits(found.earliest - timedelta(days=step))
        if (date.max - found.latest).days >= step:
            assert not fits(found.latest + timedelta(days=step))


@given(st.text(max_size=80))
def test_law_no_text_whatever_escapes_as_another_error(text):
    for reader in (PartialDate.parse, PartialDate.read):
        refused = refusal(reader, text)
        if refused:
            assert refused.reason
            assert 0 <= refused.position <= len(text)
