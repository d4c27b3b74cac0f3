"""What every answer tells the browser."""

import pytest
from django.test import Client, override_settings

from registry.security import client_address
from tests.builders import a_person

pytestmark = pytest.mark.django_db


def test_every_answer_carries_the_policies(client):
    for path in ("/sign-in/", "/no-such/page/", "/"):
        headers = client.get(path).headers
        policy = headers["Content-Security-Policy"].split("; ")
        # CSP Level 3 (W3C): what default-src does not cover must be said.
        uncovered = {"base-uri 'none'", "form-action 'self'", "frame-ancestors 'none'"}
        assert {"default-src 'self'", "object-src 'none'"} | uncovered <= set(policy)
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["X-Frame-Options"] == "DENY"
        assert headers["Referrer-Policy"] == "same-origin"
        assert "camera=(self)" in headers["Permissions-Policy"]


def test_a_form_from_elsewhere_is_refused_in_words():
    a_person(username="ines")
    answer = Client(enforce_csrf_checks=True).post("/sign-in/", {"username": "ines"})
    assert answer.status_code == 403
    assert "Go back, reload, send again" in answer.text


def test_the_light_is_kept_and_shown_at_once(client):
    answer = client.post("/light/", {"light": "stage", "next": "/sign-in/"})
    assert answer.url == "/sign-in/"
    assert answer.cookies["light"]["samesite"] == "Lax"
    assert 'data-theme="stage"' in client.get("/sign-in/").text
    client.post("/light/", {"light": ""})
    assert "data-theme" not in client.get("/sign-in/").text


@pytest.mark.parametrize("sent", ['stage" onload="', "sepia", "../stage"])
def test_an_unknown_light_is_no_light(client, sent):
    client.cookies["light"] = sent
    assert client.post("/light/", {"light": sent}).cookies["light"].value == ""
    client.cookies["light"] = sent
    assert "data-theme" not in client.get("/sign-in/").text


@pytest.mark.parametrize("asked", ["https://elsewhere.example/", "//elsewhere.example", "\\\\e.x"])
def test_choosing_a_light_leads_to_no_other_site(client, asked):
    assert client.post("/light/", {"light": "stage", "next": asked}).url == "/"


def test_behind_a_proxy_only_the_last_forwarded_address_counts(rf):
    # RFC 7239, section 5.2 and 8.1: what comes before the proxy's own entry is a claim.
    claims = {"HTTP_X_FORWARDED_FOR": "203.0.113.9, 198.51.100.7", "REMOTE_ADDR": "192.0.2.1"}
    request = rf.get("/", **claims)
    with override_settings(BEHIND_PROXY=True):
        assert client_address(request) == "198.51.100.7"
    with override_settings(BEHIND_PROXY=False):
        assert client_address(request) == "192.0.2.1"
