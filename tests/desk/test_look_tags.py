"""The marks, drawings and words that pages share, rendered as a page renders them."""

import re
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
from django import forms
from django.template import Context, Template
from django.template.loader import render_to_string

from collection.core.drawing import FanSeries, Leg, Moment

OSLO = ZoneInfo("Europe/Oslo")


def render(source: str, **values: object) -> str:
    return Template("{% load look %}" + source).render(Context(values))


def label(drawn: str) -> str:
    """What a drawing says to someone who does not see it."""
    return re.search(r'role="img" aria-label="([^"]*)"', drawn).group(1)


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, 24, hour, minute, tzinfo=OSLO)


@pytest.mark.parametrize(
    ("view", "page"),
    [
        ("desk:tonight", "tonight"),
        ("desk:piece_history", "pieces"),
        ("road:backup_start", "backup"),
        ("road:tours", "more"),
        ("bench:record_strings", "record"),
        ("bench:due", "more"),
        ("access:sign_in", ""),
    ],
)
def test_the_strap_marks_the_page_a_view_belongs_to(view, page):
    request = SimpleNamespace(resolver_match=SimpleNamespace(view_name=view))
    assert render("{% strap_here %}", request=request) == page


def test_a_state_is_a_glyph_and_words():
    drawn = render('{% state "bare" words %}', words="no <backup>")
    assert drawn == '<span class="state" data-s="bare">no &lt;backup&gt;</span>'


def test_a_state_without_a_glyph_is_refused():
    with pytest.raises(ValueError, match="has no glyph"):
        render('{% state "fine" "works" %}')


def test_a_certainty_says_its_own_name_unless_told_otherwise():
    assert render('{% cert "told" %}') == '<span class="cert" data-c="told">told</span>'
    assert "up to 6 tubes" in render('{% cert "told" "up to 6 tubes" %}')


def test_the_grade_says_that_the_backup_is_too_far():
    drawn = render('{% grade 3 2 words="truck" %}')
    assert label(drawn) == "Step 3 of 5, truck; accepted up to step 2, so too far"
    assert drawn.count("<rect") == 5
    assert 'class="grade over"' in drawn


def test_every_state_of_stock_has_a_drawing_of_its_own():
    counts = dict.fromkeys(("sealed", "tested", "bench", "pulled", "fitted", "dead"), 1)
    drawn = render("{% gauge counts %}", counts=counts | {"unexplained": 1})
    marks = re.findall(r'aria-label="[^"]*">(.*?)</svg>', drawn, re.S)
    assert len(marks) == len(set(marks)) == 7
    assert 'aria-label="1 tube not accounted for"' in drawn
    assert "One mark, one tube." in drawn


def test_a_gauge_of_groups_says_what_a_mark_stands_for():
    drawn = render("{% gauge counts %}", counts={"sealed": 412})
    assert "One mark stands for 10 tubes" in drawn
    assert ">412</b>" in drawn


def test_an_empty_gauge_says_so():
    assert "No tube in any state." in render("{% gauge counts %}", counts={"sealed": 0})


def test_a_window_of_years_is_said_with_its_likeliest_year():
    drawn = render("{% strip_years 1964 1968 first=1961 last=1971 best_from=1965 %}")
    assert label(drawn) == "May be 1964 to 1968, most likely 1965"


def test_an_open_window_is_said_to_be_open():
    drawn = render("{% strip_years none 1966 first=1950 last=1970 %}", none=None)
    assert label(drawn) == "1966 or before"
    assert "box open" in drawn


def test_the_day_speaks_the_clock_of_its_place():
    drawn = render(
        "{% strip_day moments start=start end=end now=now %}",
        moments=[Moment(at(19), "doors")], start=at(14), end=at(23), now=at(15, 20),
    )  # fmt: skip
    assert label(drawn) == "The day, 14:00 to 23:00: 19:00 doors, now 15:20"
    assert ">19:00</text>" in drawn


def test_a_way_says_its_legs_and_whether_it_is_in_time():
    drawn = render(
        "{% strip_legs legs start=start end=end limits=limits %}",
        legs=[Leg("road", 25, False), Leg("sea", 200, True), Leg("warm", 10, False)],
        start=at(15, 42), end=at(21, 42), limits=[at(19)],
    )  # fmt: skip
    assert label(drawn) == (
        "road 25 min; sea 200 min, estimated; warm up 10 min; ready 19:37, too late for 19:00"
    )
    assert 'fill="url(#waves)" stroke-dasharray="4 3"' in drawn


def test_the_fan_says_when_an_even_chance_is_gone():
    series = [FanSeries("without", (2026, 2030), (4, 0), (8, 0), (9, 2))]
    drawn = render('{% fan series "EL34 left" %}', series=series)
    assert label(drawn) == "EL34 left: without 8 now, without even chance of none left in 2030"


@pytest.mark.parametrize(
    ("words", "kind"), [("Bergen", "stencil"), ("Ebberup gamle mejeri", "painted")]
)
def test_a_name_too_long_for_a_phone_is_not_cut_as_a_stencil(words, kind):
    assert render("{{ words|painted }}", words=words) == kind


def test_doubtful_characters_are_underlined_and_markup_in_a_serial_stays_text():
    drawn = render("{{ serial|typed_serial }}", serial="5O2<b>")
    assert drawn == ('<span class="typed">5<span class="doubtful">O</span>2&lt;b&gt;</span>')


def test_an_hour_is_that_of_the_named_zone():
    moment = datetime(2026, 11, 24, 18, 0, tzinfo=UTC)
    drawn = render('{{ moment|local_time:"Europe/Oslo" }}', moment=moment)
    assert drawn == '<time datetime="2026-11-24T19:00:00+01:00">19:00</time>'


def test_times_lengths_and_money_have_one_form():
    now = at(15, 20)
    said = render(
        "{{ then|ago:now }} · {{ then|since:now }} · {{ 70|duration }} · {{ gone|duration }} · "
        '{{ pence|money:"GBP" }} · {{ nothing|money:"GBP" }}{{ nothing|duration }}',
        then=at(14, 20), now=now, gone=timedelta(seconds=10), pence=5, nothing=None,
    )  # fmt: skip
    assert said == "1 h ago · since 14:20 · 1 h 10 · 10 s · 0.05\xa0GBP · "


class LendForm(forms.Form):
    to = forms.CharField(label="To", help_text="Who signs for it.")
    known = forms.ChoiceField(
        label="How do you know", choices=[("seen", "seen"), ("told", "told")],
        widget=forms.RadioSelect,
    )  # fmt: skip
    heard = forms.BooleanField(label="Heard", required=False)
    once = forms.CharField(widget=forms.HiddenInput)


def test_a_refusal_stands_beside_its_field_and_is_named_by_it():
    drawn = render_to_string("_parts/form.html", {"form": LendForm({"once": "x"})})
    field = re.search(r'<input[^>]*name="to"[^>]*>', drawn).group()
    described = re.search(r'aria-describedby="([^"]*)"', field).group(1).split()
    assert 'aria-invalid="true"' in field
    assert sorted(described) == ["id_to_error", "id_to_helptext"]
    assert all(drawn.count(f'id="{one}"') == 1 for one in described)


def test_the_list_of_refusals_leads_to_ids_that_exist():
    drawn = render_to_string("_parts/form.html", {"form": LendForm({"once": "x"})})
    targets = re.findall(r'<a class="go" href="#([^"]*)"', drawn)
    assert targets == ["id_to", "id_known"]
    assert all(drawn.count(f'id="{one}"') == 1 for one in targets)


def test_a_fresh_form_has_no_list_of_refusals_and_labels_every_control():
    drawn = render_to_string("_parts/form.html", {"form": LendForm()})
    assert "wrong" not in drawn
    assert '<label for="id_to">To</label>' in drawn
    assert "<legend>How do you know</legend>" in drawn
    assert drawn.count('<label class="choice">') == 3


@pytest.mark.parametrize("page", ["403.html", "404.html", "500.html"])
def test_a_page_of_trouble_needs_nothing_from_the_view(page):
    drawn = render_to_string(page)
    assert drawn.count("<h1") == 1
    assert 'href="/"' in drawn


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("any Twelve", "Any Twelve."),
        ("Any Twelve.", "Any Twelve."),
        ("ring Bo!", "Ring Bo!"),
        ("", ""),
    ],
)
def test_words_of_others_end_in_one_stop(typed, said):
    assert render("{{ words|full_stop }}", words=typed) == said
