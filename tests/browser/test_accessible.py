"""axe-core finds nothing on any page, on a phone and a desk, in both lights."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import DESK, PHONE, Site

PAGES = {
    "tonight": "",
    "show mode": "show/",
    "pieces": "pieces/",
    "gallery": "pieces/?view=gallery",
    "piece": "pieces/A-007/",
    "tagged-out piece": "pieces/A-009/",
    "unsure sockets": "pieces/A-016/",
    "sockets read again": "sockets/A-007/read-again/",
    "fit a part": "sockets/A-007/fit/",
    "donor": "sockets/E-005/donor/",
    "part": "stock/part/MT-05/",
    "take a part out": "sockets/part/LS-01/out/",
    "hours": "bench/hours/A-007/",
    "sessions": "road/sessions/",
    "log a session": "road/sessions/log/",
    "edit": "pieces/A-007/edit/",
    "search": "search/?q=harbour",
    "dossier": "papers/dossier/A-007/",
    "papers made": "papers/made/",
    "share": "papers/share/A-007/",
    "as of a date": "as-of/?at=2025-12-31",
    "hand over": "papers/hand-over/A-007/",
    "insurance": "papers/insurance/",
    "value": "papers/insurance/pieces/A-007/",
    "object id": "papers/object-id/G-003/",
    "theft tasks": "papers/theft/I-003/tasks/",
    "photos compared": "papers/theft/compare/G-003/",
    "record": "bench/record/A-007/",
    "repaired": "bench/record/A-007/repaired/",
    "faults": "bench/faults/",
    "fault": "bench/faults/F-012/",
    "jobs": "bench/jobs/",
    "who has what": "away/",
    "handover": "handover/",
    "before the tour": "checklist/T-012/before/",
    "packing list": "packing/T-012/?truck=TRUCK-A",
    "loan": "places/loans/LN-002/",
    "arrival": "bench/arrivals/FR-002/",
    "job": "bench/jobs/J-001/",
    "send to a repairer": "bench/jobs/send/",
    "back from repair": "bench/jobs/J-001/back/",
    "all readings": "bench/readings/",
    "readings": "bench/readings/A-007/",
    "a reading": "bench/readings/A-007/add/",
    "safety": "bench/safety/",
    "original or not": "bench/originality/",
    "date ladder": "bench/originality/G-011/",
    "check originality": "bench/originality/A-007/check/",
    "settings": "bench/sheets/A-007/",
    "settings compared": "bench/sheets/A-007/compare/",
    "tube change": "stock/change/A-007/V4/",
    "matching": "stock/matching/",
    "label strip": "stock/matching/labels/",
    "log a show": "road/shows/W-192/log/",
    "due": "due/",
    "case": "places/CASE-02/",
    "map": "places/map/",
    "counts": "places/stocktakes/",
    "truck door": "road/shows/W-191/doors/1/",
    "on this phone": "waiting/",
    "service plans": "bench/plans/",
    "a plan": "bench/plans/add/?preset=tape-loop&every=200",
    "calendar": "calendar/",
    "backup": "road/backup/2/",
    "tours": "road/tours/",
    "tour": "road/tours/T-012/",
    "tour backup": "road/tours/T-012/backup/",
    "artist's list": "road/tours/T-012/rig/2/list/",
    "show": "road/shows/W-192/",
    "stage picture": "road/shows/W-192/stage/",
    "set list": "road/shows/W-192/grid/",
    "one night": "road/shows/W-192/position/2/",
    "fly date": "road/shows/W-115/flying/",
    "songs": "road/songs/",
    "wanted": "road/wanted/",
    "a call": "road/outside/OUT-001/call/",
    "carnet rule": "road/tours/T-012/carnet/A-021/",
    "mains": "road/mains/",
    "for the artist": "artist/",
    "for production": "production/T-012/",
    "planning figures": "road/figures/",
    "stock": "stock/",
    "type": "stock/type/EL34/",
    "lot": "stock/lot/L-003/",
    "lot as of a day": "stock/lot/L-003/?at=2024-01-20",
    "lives": "stock/type/12AX7/lives/",
    "loops": "stock/type/tape%20loop,%20long/",
    "ways": "stock/type/EL84/ways/?buy=10&price=300",
    "kept plan": "stock/plan/1/",
    "pull": "stock/part/OS-14/pull/",
    "test of a lot": "stock/lot/L-003/test/",
    "letters": "letters/",
    "limits": "stock/limits/",
    "places": "places/",
    "parties": "places/people/",
    "stocktake": "places/stocktakes/COUNT-001/",
    "count sheet": "places/P-002/sheet/?list=yes",
    "labels": "papers/labels/?kind=tag&paper=a4&place=P-002",
    "theft": "places/theft/",
    "incident": "places/incidents/I-003/",
    "sheets": "places/incidents/I-003/sheets/",
    "notice": "papers/notice/I-003/",
    "officer": "papers/officer/I-003/",
    "borders": "papers/borders/T-012/",
    "permits on the way": "papers/permits/trip/T-012/",
    "materials": "papers/permits/pieces/G-011/",
    "import": "import/",
    "book": "book/",
    "questions": "book/questions/",
    "seal": "papers/seals/SEAL-003/",
    "a seal every month": "monthly/",
    "lists as files": "lists/",
    "more": "more/",
    "people": "people/",
}


@pytest.mark.parametrize("light", ["paper", "stage"])
@pytest.mark.parametrize("viewport", [PHONE, DESK], ids=["phone", "desk"])
def test_no_page_has_a_violation(site: Site, context_of, viewport: dict, light: str):
    page: Page = context_of(viewport, light).new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    found = {}
    for name, path in PAGES.items():
        answer = page.goto(site.at(path))
        assert answer.status == 200, (name, answer.status)
        assert page.evaluate("document.documentElement.dataset.theme") == light, name
        violations = Axe().run(page).response["violations"]
        wide = page.evaluate("document.documentElement.scrollWidth > innerWidth")
        if violations or wide:
            found[name] = [v["id"] for v in violations] + ["scrolls sideways"] * wide
    assert found == {}
    assert not [text for text in said if "Content Security Policy" in text]
