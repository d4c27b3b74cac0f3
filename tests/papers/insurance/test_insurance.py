"""Policies, loads against limits, values, nights, notice: through actions and pages."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse

from collection.catalogue.actions import add_piece
from collection.core.events.title_changed import TitleChanged
from collection.custody import actions as custody
from collection.custody.whereabouts import whereabouts
from collection.ledger.actions import open_book, withdraw
from collection.ledger.errors import LedgerError, PlanRefused
from collection.ledger.models import Event
from collection.ledger.telling import Telling
from collection.papers.insurance import actions, nights, queries, values
from collection.papers.insurance.models import Insured, Policy, TruckNight
from collection.papers.insurance.notice import notice_by, notice_words
from collection.road import actions as road

TODAY, YEAR = date(2026, 11, 24), (date(2026, 3, 1), date(2027, 2, 28))
OSLO = ZoneInfo("Europe/Oslo")


class Desk:
    """A truck with a case in it, three valued pieces, an insurer."""

    def __init__(self, keeper):
        self.by, self.collection = keeper, keeper.collection
        who = {"collection": self.collection, "by": keeper}
        self.who = who
        self.site = custody.add_place(**who, name="Warehouse", kind="site", country="GB")
        self.truck = custody.add_place(
            **who, name="truck A", kind="truck", code="TRUCK-A", inside=self.site
        )
        self.case = custody.add_place(
            **who, name="Case 07", kind="case", code="CASE-07", inside=self.site
        )
        self.insurer = custody.add_party(
            **who, name="The insurer", does="insurer", phone="+44 1632 960118"
        )
        for code, minor in (("A-007", 620000), ("G-001", 980000), ("E-002", 190000)):
            add_piece(**who, code=code, kind="amplifier", serial=f"S-{code}")
            self.valued(code, minor, "2026-03-01")
            custody.move(**who, code=code, to="CASE-07", telling=Telling(happened="2026-03-02"))
        custody.move(**who, code="CASE-07", to="TRUCK-A", telling=Telling(happened="2026-10-29"))

    def valued(self, code, minor, on, currency="EUR", **how):
        return actions.value(
            **self.who, code=code, value_minor=minor, currency=currency, basis="agreed value",
            telling=Telling(happened=on, source="document", **how),
        )  # fmt: skip

    def policy(self, codes=("A-007", "G-001"), **paper) -> Policy:
        begins, ends = YEAR
        known = {"currency": "EUR", "begins_on": begins, "ends_on": ends} | paper
        made = actions.add_policy(**self.who, insurer=self.insurer, **known)
        actions.insure(policy=made, by=self.by, codes=codes, on=made.begins_on)
        return made

    def seen(self, on=TODAY):
        found = queries.overview(self.collection, whereabouts(self.by), on=on, today=TODAY)
        return found

    def url(self, name, *args):
        return reverse(f"papers:{name}", args=[self.collection.slug, *args])


@pytest.fixture
def desk(keeper) -> Desk:
    return Desk(keeper)


# -- loads -----------------------------------------------------------------------------------
def test_what_is_in_a_case_in_a_truck_counts_for_the_truck(desk):
    desk.policy(per_vehicle_minor=1600000)
    (one,) = desk.seen().standings
    assert (one.where, one.vehicle, one.load.sum_minor) == ("truck A", True, 1600000)
    assert one.load.over_minor == 0


def test_a_truck_over_its_limit_says_what_would_bring_it_under(desk):
    desk.policy(per_vehicle_minor=1500000)
    (one,) = desk.seen().over
    assert (one.load.over_minor, one.load.remedy) == (100000, ("A-007",))


def test_sums_are_those_of_the_day_asked_for(desk):
    """Before the case went into the truck it stood in the warehouse; values are of that day too."""
    desk.policy(per_vehicle_minor=1)
    desk.valued("A-007", 900000, "2026-11-20")
    (then,) = desk.seen(on=date(2026, 10, 1)).standings
    assert (then.where, then.vehicle, then.load.sum_minor) == ("Warehouse", False, 1600000)
    (now,) = desk.seen().standings
    assert (now.where, now.load.sum_minor) == ("truck A", 1880000)


def test_a_move_that_was_taken_back_moved_nothing(desk):
    event = custody.move(
        **desk.who, code="G-001", to="TRUCK-A", telling=Telling(happened="2026-09-01")
    )
    desk.policy()
    assert len(desk.seen(on=date(2026, 9, 15)).standings) == 2
    withdraw(**desk.who, event=event, because="it was another one")
    (one,) = desk.seen(on=date(2026, 9, 15)).standings
    assert (one.where, len(one.load.items)) == ("Warehouse", 2)


def test_another_currency_stands_apart(desk):
    desk.valued("G-001", 500000, "2026-04-01", currency="GBP")
    desk.policy(per_vehicle_minor=700000)
    (one,) = desk.seen().standings
    assert one.load.sum_minor == 620000
    assert one.load.others == (("GBP", 500000),)
    (line,) = [line for line in desk.seen().to_look_at if line.piece.code == "G-001"]
    assert line.findings == ["valued in GBP, the policy is in EUR"]


def test_tonights_truck_is_reckoned_as_it_will_be_loaded(desk):
    """On stage it stands in the hall; before the load-out the truck it goes into is asked."""
    hall = custody.add_place(**desk.who, name="Hall", kind="venue", country="NO")
    tour = road.add_tour(
        **desk.who, code="T-012", name="Autumn", starts_on=date(2026, 11, 1),
        ends_on=date(2026, 12, 1),
    )  # fmt: skip
    tour.places.add(desk.truck)
    for piece in queries.offered(desk.collection, []):
        road.travel(tour=tour, piece=piece, on_carnet=False)
    desk.policy(per_vehicle_minor=1500000)
    custody.move(**desk.who, code="G-001", to=hall.code, telling=Telling(happened="2026-11-24"))
    seen = desk.seen()
    assert seen.over == []
    (one,) = seen.over_when_loaded
    assert (one.truck, one.load.sum_minor, one.load.remedy) == (desk.truck, 1600000, ("A-007",))


# -- schedules -------------------------------------------------------------------------------
def test_a_piece_stands_under_one_policy_at_a_time(desk):
    # Source: Spectrum 5.1, Insurance and indemnity: one insurance reference number an object.
    desk.policy()
    other = desk.policy(codes=())
    with pytest.raises(PlanRefused, match="A-007 stands under"):
        actions.insure(policy=other, by=desk.by, codes=["A-007"], on=TODAY)


def test_a_renewal_takes_its_pieces_along(desk):
    old = desk.policy(begins_on=date(2025, 3, 1), ends_on=date(2026, 2, 28))
    new = desk.policy()
    assert set(queries.held_codes(new)) == {"A-007", "G-001"}
    ended = Insured.objects.filter(policy=old).values_list("until", flat=True)
    assert set(ended) == {date(2026, 3, 1)}


def test_nothing_is_covered_outside_of_the_period(desk):
    policy = desk.policy(codes=())
    with pytest.raises(PlanRefused, match="The policy runs from"):
        actions.insure(policy=policy, by=desk.by, codes=["A-007"], on=date(2027, 3, 1))


def test_what_is_taken_off_was_covered_until_then(desk):
    policy = desk.policy()
    actions.insure(policy=policy, by=desk.by, codes=["G-001"], on=TODAY)
    day_before = queries.covering(desk.collection, date(2026, 11, 23))
    assert {row.piece.code for row in day_before} == {"A-007", "G-001"}
    assert {r.piece.code for r in queries.covering(desk.collection, TODAY)} == {"G-001"}


def test_a_lent_piece_that_nobody_insures_is_flagged(desk):
    desk.policy()
    assert [(one.piece.code, one.why) for one in desk.seen().bare_away] == [("E-002", "in truck A")]


def test_a_tour_that_leaves_territory_or_period_is_flagged(desk):
    hall = custody.add_place(**desk.who, name="Hall", kind="venue", country="NO")
    tour = road.add_tour(
        **desk.who, code="T-012", name="Autumn", starts_on=date(2026, 11, 1),
        ends_on=date(2027, 3, 31),
    )  # fmt: skip
    for number, on in enumerate((date(2026, 11, 24), date(2027, 3, 30)), 1):
        road.add_show(
            collection=desk.collection, by=desk.by, tour=tour, number=number, venue=hall, on=on
        )
    desk.policy(countries="GB DK")
    (one,) = desk.seen().outside
    assert [country for _, country in one.abroad] == ["NO", "NO"]
    assert one.late == ((date(2027, 3, 30), "NO"),)


# -- values ----------------------------------------------------------------------------------
def test_a_valuation_reaches_the_page_unless_a_newer_one_stands(desk):
    desk.valued("A-007", 300000, "2023-05-01", source_note="The house in Leith")
    piece = queries.offered(desk.collection, [])[0]
    assert (piece.code, piece.value_minor) == ("A-007", 620000)
    history = values.history_of(piece)
    assert [(one.minor, one.valuer) for one in history] == [
        (300000, "The house in Leith"), (620000, ""),
    ]  # fmt: skip


def test_a_value_over_three_years_old_is_flagged(desk):
    add_piece(**desk.who, code="M-001", kind="microphone")
    desk.valued("M-001", 210000, "2023-03-01")
    desk.policy(codes=["M-001"])
    (line,) = desk.seen().to_look_at
    assert line.findings == ["value older than 3 years"]


def test_a_value_that_was_only_typed_has_no_day(desk):
    piece = queries.offered(desk.collection, [])[0]
    piece.value_minor = 1
    piece.save()
    assert values.value_of(piece, values.history_of(piece)).on is None


def test_the_collection_is_drawn_as_the_sum_of_what_was_known(desk):
    several = values.histories(desk.collection).values()
    ((currency, plot),) = values.plots(several, until=TODAY)
    assert currency == "EUR"
    assert plot.corners[-1][2] == "17,900 EUR from 1 Mar 2026"


# -- nights ----------------------------------------------------------------------------------
def a_night(desk, **said):
    return actions.write_night(
        **desk.who, truck=desk.truck, where="quay 3",
        since=datetime(2026, 11, 22, 23, 40, tzinfo=OSLO),
        until=datetime(2026, 11, 23, 8, 0, tzinfo=OSLO), said=said,
    )  # fmt: skip


def test_a_night_is_held_against_the_terms(desk):
    desk.policy(terms=["locked", "attended", "alarm"])
    a_night(desk, locked="yes", attended="no")
    (one,) = nights.nights(desk.collection, queries.policies(desk.collection))
    assert one.hours == "23:40 to 08:00"
    assert (one.broken, one.unsaid) == (["somebody stayed with it"], ["alarm set"])


def test_a_night_stands_in_the_book_at_its_evening(desk):
    night = a_night(desk, locked="yes")
    event = Event.objects.get(sequence=night.entry)
    assert (event.subject.code, event.happened) == ("TRUCK-A", "2026-11-22T23:40:00+01:00")
    assert event.words == "Stood at quay 3 from 23:40 until 08:00. Locked: yes."


def test_a_truck_does_not_leave_before_it_came(desk):
    with pytest.raises(LedgerError, match="left before it came"):
        actions.write_night(
            **desk.who, truck=desk.truck, where="quay 3", said={},
            since=datetime(2026, 11, 22, 23, 40, tzinfo=OSLO),
            until=datetime(2026, 11, 22, 23, 30, tzinfo=OSLO),
        )  # fmt: skip


# -- notice ----------------------------------------------------------------------------------
def test_the_insurer_is_told_within_the_hours_of_the_policy(desk):
    policy = desk.policy(notice_hours=24, number="MV 2026/4")
    incident = custody.report_theft(
        **desk.who, pieces=["A-007", "E-002"], found_gone="2026-11-24T14:20:00+00:00"
    )
    found, until = notice_by(incident)
    assert found == policy
    assert f"{until.astimezone(ZoneInfo('UTC')):%Y-%m-%d %H:%M}" == "2026-11-25 14:20"
    now = datetime(2026, 11, 24, 15, 20, tzinfo=ZoneInfo("UTC"))
    assert notice_words(incident, now=now) == (
        "Ring The insurer, +44 1632 960118 by 14:20 tomorrow: 24 h of notice, policy MV 2026/4."
    )


def test_without_a_policy_nobody_has_to_be_rung(desk):
    incident = custody.report_theft(**desk.who, pieces=["E-002"])
    assert notice_by(incident) is None
    assert notice_words(incident, now=incident.opened_at) == ""


# -- pages -----------------------------------------------------------------------------------
def test_a_policy_is_typed_ticked_and_shown(desk, keeper_client):
    typed = {
        "insurer": desk.insurer.code, "begins_on": "2020-03-01", "ends_on": "2039-02-28",
        "currency": "eur", "countries": "gb, no", "per_vehicle": "15000", "notice_hours": "24",
        "terms": ["locked"], "once": "one-press",
    }  # fmt: skip
    for _ in range(2):  # a double tap takes one policy
        answer = keeper_client.post(desk.url("add_policy"), typed)
    policy = Policy.objects.get()
    assert answer.url == desk.url("choose_insured", policy.code)
    assert (policy.per_vehicle_minor, policy.countries) == (1500000, "GB NO")
    chosen = {"on": "2026-03-01", "codes": ["A-007", "G-001"]}
    keeper_client.post(answer.url, chosen)
    page = keeper_client.get(desk.url("insurance")).content.decode()
    assert "Truck A: by 1,000.00" in page
    shown = keeper_client.get(desk.url("policy", policy.code)).content.decode()
    assert "16,000.00" in shown
    assert "agreed value" in shown


def test_a_country_that_is_none_is_refused_beside_its_field(desk, keeper_client):
    typed = {"insurer": desk.insurer.code, "begins_on": "2026-03-01", "ends_on": "2026-02-01",
             "currency": "EUR", "countries": "UK"}  # fmt: skip
    answer = keeper_client.post(desk.url("add_policy"), typed)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Great Britain is GB" in page
    assert "It would end before it begins." in page
    assert 'value="UK"' in page


def test_a_value_is_typed_and_its_picture_drawn(desk, keeper_client):
    typed = {"value": "6500.50", "currency": "EUR", "basis": "market value", "who": "A dealer",
             "how": "document"}  # fmt: skip
    answer = keeper_client.post(desk.url("value", "A-007"), typed)
    assert answer.status_code == 302
    page = keeper_client.get(desk.url("values", "A-007")).content.decode()
    assert "6,500.50" in page
    assert "market value" in page
    assert "<svg" in page


def test_a_night_is_typed_by_the_clock_on_the_wall(desk, keeper_client):
    typed = {"truck": "TRUCK-A", "where": "quay 3", "since": "2026-11-22T23:40",
             "until": "2026-11-23T08:00", "locked": "yes"}  # fmt: skip
    answer = keeper_client.post(desk.url("write_night"), typed)
    assert answer.status_code == 302
    night = TruckNight.objects.get()
    assert (night.zone, night.said) == ("Europe/Lisbon", {"locked": "yes"})
    assert "quay 3" in keeper_client.get(desk.url("nights")).content.decode()


def test_a_tour_says_which_nights_nobody_wrote_down(desk, keeper_client):
    tour = road.add_tour(
        **desk.who, code="T-012", name="Autumn", starts_on=date(2026, 11, 21),
        ends_on=date(2026, 11, 24),
    )  # fmt: skip
    tour.places.add(desk.truck)
    a_night(desk)
    (gap,) = nights.gaps(tour, today=TODAY)
    assert gap.nights == (date(2026, 11, 21), date(2026, 11, 23))
    assert keeper_client.get(desk.url("tour_cover", "T-012")).status_code == 200


def test_the_schedule_is_a_paper_that_is_written_down(desk, keeper_client):
    policy = desk.policy()
    with open_book(desk.collection, desk.by) as book:
        book.append(TitleChanged(desk.insurer.code), "A-007")
    answer = keeper_client.post(desk.url("schedule", policy.code))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    made = policy.subject.papers_made.get()
    assert (made.paper, made.for_whom) == ("schedule", "The insurer")


def test_who_only_looks_learns_no_value(desk, viewer_client):
    policy = desk.policy()
    for name, *args in (("insurance",), ("policy", policy.code), ("values", "A-007"),
                        ("nights",)):  # fmt: skip
        assert viewer_client.get(desk.url(name, *args)).status_code == 403
    address = reverse("desk:list_as_csv", args=[desk.collection.slug, "insured"])
    text = b"".join(viewer_client.get(address)).decode()
    assert "6200" not in text
    assert "A-007" not in text


def test_the_schedule_is_a_list_for_a_spreadsheet(desk, keeper_client):
    desk.policy()
    address = reverse("desk:list_as_csv", args=[desk.collection.slug, "insured"])
    text = b"".join(keeper_client.get(address, {"on": "2026-11-24"})).decode()
    assert text.count("agreed value") == 2
    assert "6200.00" in text


@pytest.mark.parametrize("on", ["", "2026-10-01"])
def test_more_pieces_ask_no_more_questions(desk, keeper_client, on, django_assert_max_num_queries):
    policy = desk.policy()
    url = desk.url("insurance") + (f"?on={on}" if on else "")
    keeper_client.get(url)
    with django_assert_max_num_queries(40) as few:
        keeper_client.get(url)
    for number in range(5):
        code = f"X-{number:03}"
        add_piece(**desk.who, code=code, kind="effect")
        desk.valued(code, 1000, "2020-01-01")
        custody.move(**desk.who, code=code, to="CASE-07", telling=Telling(happened="2026-05-01"))
    actions.insure(
        policy=policy, by=desk.by, codes=["A-007", "X-001", "X-002", "X-003"], on=date(2026, 6, 1)
    )
    with django_assert_max_num_queries(len(few.captured_queries)):
        keeper_client.get(url)
