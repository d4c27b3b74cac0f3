"""Source-date codes: worked examples with the page each was read on, then laws."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.datecode import readings, week_bounds
from collection.core.source_codes import SOURCE_CODES


@pytest.mark.parametrize(
    ("mark", "maker", "week", "year", "source"),
    [
        ("304728", "Stackpole", 28, 1967, "300guitars.com, which picks 1967"),
        ("1377833", "CTS", 33, 1978, "24or.ru copy of a dating article"),
        ("1377415", "CTS", 15, 1974, "raumtelecom / sol-planet"),
        ("1346320", "Centralab", 20, 1963, "promedpro"),
        ("285642", "Rola", 42, 1956, "xewece, organ dating page: the year ends in 6"),
        ("190-7215", "General Instrument", 15, 1972, "xewece, organ dating page"),
        ("235-7051Y", "Mallory", 51, 1970, "groupe-ssp copy, amplifier dating"),
        ("834-7305", "Mel-Rain", 5, 1973, "groupe-ssp copy, amplifier dating"),
        ("834-7328", "Mel-Rain", 28, 1973, "groupe-ssp copy, amplifier dating"),
        ("606-4-21", "Schumacher", 21, 1964, "raumtelecom: the year ends in 4"),
        ("606-432", "Schumacher", 32, 1964, "concept007, copy of an article by G. Gagliano"),
        ("606-432", "Schumacher", 32, 1974, "concept007, copy of an article by G. Gagliano"),
        ("67 -01 12A", "Eminence", 12, 2001, "eminence.com, the maker's own answers"),
    ],
)
def test_published_examples_read_as_published(mark, maker, week, year, source):
    first = readings(mark)[0]
    assert (first.maker, first.week) == (maker, week), source
    assert year in first.years, source


@pytest.mark.parametrize(
    ("mark", "splits"),
    # Every way to cut the digits, worked by hand; known makers first.
    [
        ("304728", ["304-7-28", "30-47-28"]),
        ("1377833", ["137-78-33", "1377-8-33"]),
        ("1098622", ["1098-6-22", "109-86-22"]),
        ("672315", ["67-23-15", "672-3-15"]),
        ("67 -01 12A", ["67-01-12", "670-1-12"]),
        ("606-4-21", ["606-4-21", "60-64-21"]),
        ("998-7612", ["998-76-12", "9987-6-12"]),
        ("9987-612", ["9987-6-12", "998-76-12"]),
        ("7-6512", ["7-65-12", "76-5-12"]),
        ("76512", ["76-5-12"]),
        ("30428AB 7", ["30-4-28"]),
        ("9996812", ["999-68-12", "9996-8-12"]),
        ("10987815", ["1098-78-15"]),
    ],
)
def test_every_split_is_kept(mark, splits):
    assert [reading.split for reading in readings(mark)] == splits


@pytest.mark.parametrize(
    ("mark", "years"),
    [
        ("304728", (1947, 1957, 1967, 1977, 1987, 1997)),
        ("304528", (1945, 1955, 1965, 1975, 1985, 1995)),
        ("304428", (1954, 1964, 1974, 1984, 1994)),
        ("304128", (1951, 1961, 1971, 1981, 1991, 2001)),
        ("304028", (1950, 1960, 1970, 1980, 1990, 2000)),
    ],
)
def test_every_decade_stays_open_without_a_span(mark, years):
    assert readings(mark)[0].years == years


def test_a_span_drops_decades_and_readings_that_lose_all():
    (only,) = readings("304728", span=(1958, 1969))
    assert (only.split, only.years) == ("304-7-28", (1967,))
    (only,) = readings("304728", span=(1947, 1947))[:1]
    assert only.years == (1947,)
    assert len(readings("304728", span=(1947, 1947))) == 2


def test_a_part_of_today_is_not_read_as_an_old_one_by_an_unknown_maker():
    first = readings("1371215")[0]
    assert (first.maker, first.years, first.week) == ("CTS", (2012,), 15)


@pytest.mark.parametrize(
    "mark",
    [
        "1377860",  # week 60: no source-date code, after guitarhq.com/pots.html
        "1377800",
        "304754",
        "",
        "   ",
        "304",
        "123456789",
        "A304728",
        "304?28",
        "304/728",
        "٣٠٤٧٢٨",  # digits, but not ASCII
        "12AX7",
        "1-2",
        None,
        304728,
    ],
)
def test_what_does_not_fit_is_not_forced(mark):
    with pytest.raises(ValueError, match="no source-date code"):
        readings(mark)


def test_nothing_inside_the_span_is_no_code_and_a_span_backwards_is_refused():
    with pytest.raises(ValueError, match="no source-date code"):
        readings("1377833", span=(1980, 1987))
    with pytest.raises(ValueError, match="before it begins"):
        readings("1377833", span=(1980, 1970))


def test_week_53_is_a_week():
    # General YYWW practice, X12 element 642.
    assert readings("3046853")[0].week == 53


def test_the_published_example_of_a_week_lies_inside_its_allowance():
    # ecianow.org: 113-9910 is 7 to 13 March 1999; ISO week 10 was 8 to 14 March.
    (reading,) = [r for r in readings("113-9910") if r.split == "113-99-10"]
    assert reading.years == (1999,)
    assert week_bounds(1999, 10) == (date(1999, 2, 28), date(1999, 3, 20))
    assert reading.earliest <= date.fromisocalendar(1999, 10, 1)
    assert reading.latest >= date.fromisocalendar(1999, 10, 7)


def test_a_reading_says_itself_in_words():
    first = readings("606-432", span=(1960, 1979))[0]
    assert first.sentence() == "Schumacher, week 32 of 1964 or 1974"
    assert readings("9996812")[0].sentence() == "maker 999, week 12 of 1968"


def test_conflicting_lists_and_rows_from_memory_are_marked():
    assert SOURCE_CODES["575"].maker == SOURCE_CODES["416"].maker == "Heppner"
    assert "416" in SOURCE_CODES["575"].doubt
    assert "575" in SOURCE_CODES["416"].doubt
    assert SOURCE_CODES["1098"].source == "from memory"
    assert all(row.source and row.code == code for code, row in SOURCE_CODES.items())


codes = st.from_regex(r"[0-9]{1,4}[ -]?[0-9]{1,2}-?[0-9]{2}[A-Z]?", fullmatch=True)
spans = st.tuples(st.integers(1940, 2010), st.integers(0, 40)).map(lambda s: (s[0], s[0] + s[1]))


def read(mark, span=None):
    try:
        return readings(mark, span=span)
    except ValueError:
        return ()


@given(codes, spans)
def test_a_span_only_ever_takes_years_away(mark, span):
    narrow = {r.split: r.years for r in read(mark, span)}
    wide = {r.split: r.years for r in read(mark)}
    assert narrow == {
        split: kept
        for split, years in wide.items()
        if (kept := tuple(year for year in years if span[0] <= year <= span[1]))
    }


@given(codes)
def test_every_reading_puts_the_mark_together_again(mark):
    digits = "".join(letter for letter in mark if letter.isdigit())
    for reading in read(mark):
        maker, year, week = reading.split.split("-")
        assert maker + year + week == digits
        assert maker == reading.maker_code
        assert 1 <= reading.week == int(week) <= 53
        assert all(str(y).endswith(year) for y in reading.years)
        # A one-digit year only within the life of the list; two digits may be later.
        latest = 2001 if len(year) == 1 else 2044
        assert all(1945 <= y <= latest for y in reading.years)
        assert (len(reading.years) == 1) == (len(year) == 2)


@given(codes)
def test_known_makers_come_first(mark):
    unknown = [reading.maker is None for reading in read(mark)]
    assert unknown == sorted(unknown)


@given(st.integers(1945, 2044), st.integers(1, 53))
def test_the_allowance_always_covers_the_iso_week(year, week):
    if week == 53 and date(year, 12, 28).isocalendar().week < 53:
        return
    first, last = week_bounds(year, week)
    assert first <= date.fromisocalendar(year, week, 1)
    assert last >= date.fromisocalendar(year, week, 7)
