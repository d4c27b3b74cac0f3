"""The stock pages through the client: figures, choices, what if, refusals in plain words."""

import re

import pytest

from collection.stock import actions
from collection.stock.models import PullChoice
from registry.access.roles import Role
from tests.builders import a_member, client_of
from tests.stock.shelves import a_desk, a_show, heads, output_tubes, pairs, the_worked_case

pytestmark = pytest.mark.django_db


def _text(response) -> str:
    plain = re.sub(r"<[^>]+>", " ", response.content.decode())
    return re.sub(r"\s+", " ", plain).replace("&#x27;", "'")


def test_the_worked_case_says_ten_years_by_the_hand_rule():
    """60 sets x 60 h / (2 heads x 120 shows x 1.5 h) = 10.0 years; common practice, no source."""
    desk = the_worked_case()
    page = client_of(desk.member).get(desk.url("type/EL34/"))
    assert page.status_code == 200
    assert "hand rule 10.0 years" in _text(page)


def test_a_type_page_says_what_drives_its_spread():
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/")))
    assert "Most: how much will be played: how much years differ." in text


def test_a_stock_without_a_log_says_what_to_record():
    desk = a_desk()
    pairs(desk, output_tubes(desk), 4)
    text = _text(client_of(desk.member).get(desk.url()))
    assert "No use has been logged and nothing is booked." in text
    assert "No position uses EL34" in text
    assert "Nobody has chosen when to pull EL34." in text


def test_an_empty_stock_page_says_how_to_begin():
    desk = a_desk()
    assert "No type is here yet" in _text(client_of(desk.member).get(desk.url()))


def test_no_pull_choice_is_ticked_until_somebody_ticks():
    desk = the_worked_case()
    page = client_of(desk.member).get(desk.url("type/EL34/")).content.decode()
    columns = re.findall(r'<input type="radio" name="pull"[^>]*>', page)
    assert len(columns) == 4
    assert not [column for column in columns if "checked" in column]


def test_a_column_says_how_many_tubes_a_year_it_uses():
    """2 heads x 180 h / 60 h = 6 pairs, 12 tubes."""
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/")))
    assert re.search(r" 60 h tubes used a year 12\.0 ", text)


def test_a_pull_choice_needs_a_reason_and_keeps_the_tick():
    desk = the_worked_case()
    address = desk.url("type/EL34/pull/")
    page = client_of(desk.member).post(address, {"pull": "240", "because": ""})
    assert page.status_code == 422
    assert 'name="pull" value="240" checked' in page.content.decode()
    assert PullChoice.objects.of(desk.member.collection).count() == 1


@pytest.mark.parametrize(
    ("sent", "hours"),
    [({"pull": "240"}, 240), ({"pull": "fails"}, None), ({"other_hours": "120"}, 120)],
)
def test_a_pull_choice_is_stored_with_who_and_why(sent, hours):
    desk = the_worked_case()
    answer = client_of(desk.member).post(
        desk.url("type/EL34/pull/"), {**sent, "because": "they hiss after that"}
    )
    assert answer.status_code == 302
    choice = PullChoice.objects.of(desk.member.collection).first()
    assert (choice.pull_hours, choice.because) == (hours, "they hiss after that")
    assert choice.chosen_by == desk.member.code


def test_a_viewer_chooses_nothing():
    desk = the_worked_case()
    viewer = a_member(desk.member.collection, role=Role.VIEWER)
    sent = {"pull": "240", "because": "why not"}
    assert client_of(viewer).post(desk.url("type/EL34/pull/"), sent).status_code == 403


# -- what if ---------------------------------------------------------------------------------
def test_what_if_shows_the_same_figures_on_a_reload():
    desk = the_worked_case()
    client = client_of(desk.member)
    first, again = (client.get(desk.url("type/EL34/"), {"buy": "20"}) for _ in range(2))
    rows = re.compile(r"as it would be.*?</table>", re.S)
    assert rows.search(first.content.decode())[0] == rows.search(again.content.decode())[0]


def test_what_if_answers_a_script_with_the_fragment_alone():
    desk = the_worked_case()
    page = client_of(desk.member).get(
        desk.url("type/EL34/"), {"buy": "20"}, headers={"HX-Request": "true"}
    )
    body = page.content.decode()
    assert "<html" not in body
    assert body.lstrip().startswith('<section class="part" id="what-if">')


def test_buying_as_many_again_about_doubles_the_years():
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/"), {"buy": "60"}))
    gained = float(re.search(r"([\d.]+) years gained", text)[1])
    assert gained == pytest.approx(10, abs=1)
    assert "hand rule 10.0 years 20.0 years" in text


def test_resting_one_of_two_heads_doubles_the_hand_rule():
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/"), {"rest": "A-012"}))
    assert "hand rule 10.0 years 20.0 years" in text


def test_a_longer_pull_than_any_age_seen_is_marked_as_extrapolated():
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/"), {"pull": "120"}))
    assert "Extrapolated: no part in the log is as old as that." in text
    assert "hand rule 10.0 years 20.0 years" in text


def test_losing_more_than_there_are_is_refused_in_plain_words():
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/"), {"buy": "-61"}))
    assert "61 units cannot be lost from a stock of 60." in text


def test_until_it_fails_is_refused_while_no_life_is_logged():
    desk = the_worked_case()
    text = _text(client_of(desk.member).get(desk.url("type/EL34/"), {"fails": "on"}))
    assert "Nobody has logged how long these live" in text.split("What if")[1]
    assert "as it would be" not in text


# -- queries ---------------------------------------------------------------------------------
def test_the_stock_page_asks_the_same_number_of_queries_for_more_stock(
    django_assert_num_queries, django_assert_max_num_queries
):
    desk = the_worked_case()
    client = client_of(desk.member)
    client.get(desk.url())
    with django_assert_max_num_queries(15) as few:
        client.get(desk.url())
    for number in range(3):
        kind = actions.add_type(collection=desk.member.collection, code=f"E{number}")
        pairs(desk, kind, 5)
        heads(desk, f"A-10{number}")
        a_show(desk, f"W-00{number}", days_ago=number + 1, pieces=("A-007",))
    with django_assert_num_queries(len(few)):
        client.get(desk.url())


def test_a_type_page_asks_the_same_number_of_queries_for_more_lots(
    django_assert_num_queries, django_assert_max_num_queries
):
    desk = the_worked_case()
    client = client_of(desk.member)
    with django_assert_max_num_queries(21) as few:
        client.get(desk.url("type/EL34/"))
    kind = output_tubes(desk)
    for _ in range(3):
        pairs(desk, kind, 5)
    with django_assert_num_queries(len(few)):
        client.get(desk.url("type/EL34/"))
