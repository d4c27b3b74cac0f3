"""How many presses recording takes; budgets: domain.md, rule 15 ('Few taps'), a house rule."""

from html.parser import HTMLParser

import pytest

from collection.bench import actions
from collection.ledger.models import Event
from tests.bench.builders import a_piece, address

pytestmark = pytest.mark.django_db
SILENT = {"hidden"}


class Forms(HTMLParser):
    """The forms of a page: where they go, what they hold, what a person must touch."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.forms: list[dict] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if tag == "form":
            self.forms.append({"action": given.get("action", ""), "held": {}, "asked": set()})
        elif tag in {"input", "textarea", "select"} and self.forms and given.get("name"):
            form = self.forms[-1]
            if given.get("type") in SILENT:
                form["held"][given["name"]] = given.get("value", "")
            elif "required" in given:
                form["asked"].add(given["name"])


def form_to(client, page: str, target: str) -> dict:
    """The form of a page that is sent to `target`."""
    found = Forms(client.get(page).content.decode()).forms
    return next(form for form in found if form["action"] == target)


def presses(form: dict) -> int:
    """One for each thing that must be touched, and one for the button."""
    return len(form["asked"]) + 1


def test_strings_take_one_press(technician, technician_client):
    guitar = a_piece(technician, kind="instrument", code="G-901")
    form = form_to(technician_client, address(guitar), address(guitar, "serviced"))
    assert presses(form) == 1
    assert technician_client.post(form["action"], form["held"]).status_code == 302
    assert Event.objects.of(guitar.collection).filter(kind="serviced").count() == 1


def test_an_amplifier_has_no_strings(technician, technician_client):
    amp = a_piece(technician)
    assert "Strings on" not in technician_client.get(address(amp)).content.decode()


def test_a_note_takes_two_presses(technician, technician_client):
    amp = a_piece(technician)
    form = form_to(technician_client, address(amp), address(amp, "noted"))
    assert presses(form) == 2
    assert form["asked"] == {"words"}
    sent = form["held"] | {"words": "one line"}
    assert technician_client.post(form["action"], sent).status_code == 302
    assert Event.objects.of(amp.collection).get(kind="noted").words == "one line"


def test_a_fault_that_is_back_takes_one_press(technician, technician_client):
    amp = a_piece(technician)
    fault = actions.fault(collection=amp.collection, by=technician, code=amp.code, symptom="hum")
    form = form_to(technician_client, address(amp), address(amp, "faulted"))
    assert presses(form) == 1
    assert technician_client.post(form["action"], form["held"]).status_code == 302
    again = Event.objects.of(amp.collection).filter(kind="faulted").order_by("sequence").last()
    assert (again.facts["again"], again.names) == (True, {"fault": fault.code})


def test_a_piece_is_chosen_in_one_press_from_those_at_hand(technician, technician_client):
    amp = a_piece(technician)
    page = technician_client.get(f"/{amp.collection.slug}/bench/record/").content.decode()
    assert f'href="{address(amp)}"' in page


def test_a_code_typed_leads_straight_to_its_record_page(technician, technician_client):
    amp = a_piece(technician, code="A-950")
    a_piece(technician, code="A-951", name="A-950 lookalike")
    start = f"/{amp.collection.slug}/bench/record/"
    answer = technician_client.get(start, {"q": "a-950"})
    assert answer.status_code == 302
    assert answer["Location"] == address(amp)


def test_a_search_without_a_find_says_so(technician_client, technician):
    page = technician_client.get(f"/{technician.collection.slug}/bench/record/", {"q": "zzz"})
    assert "Nothing here is called zzz" in page.content.decode()


def test_a_check_asks_only_how_far_and_saves(technician, technician_client):
    amp = a_piece(technician)
    page = technician_client.get(address(amp, "inspected") + "?level=played-hot")
    checked = page.content.decode().count("checked")
    assert checked >= 2  # how far and what came of it stand already
    sent = {"level": "played-hot", "result": "works"}
    assert technician_client.post(address(amp, "inspected"), sent).status_code == 302
