"""The interactive page of the service works in a real browser and asks nobody else."""

import json
import time
from pathlib import Path

import pytest

from libdamp.calculations import CALCULATIONS, calculate
from service.examples import example_request

from .browser import FULL, SHELL, Browser, hosts_asked, opened
from .running import Service, asked

pytestmark = pytest.mark.outside
BLOCK = "document.querySelector('#operations-calculations-ride')"
ANSWER = f"{BLOCK}.querySelector('.live-responses-table tbody .response-col_status')"
ANSWER_TEXT = f"{BLOCK}.querySelector('.live-responses-table tbody .highlight-code code')"


def operations(service: Service) -> list[str]:
    """Ids of the page's elements of all operations."""
    paths = asked(service.port, "GET", "/openapi.json").data["paths"]
    found = [(entry["tags"][0], entry["operationId"]) for path in paths.values() for entry in path.values()]
    return [f"operations-{tag}-{name}" for tag, name in found]


def _execute(browser: Browser) -> None:
    """Press Execute until an answer is there: a page that is still filling in its form loses a press."""
    for _ in range(5):
        browser.value(f"{BLOCK}.querySelector('button.execute').click()")
        for _ in range(60):
            if browser.value(f"!!({ANSWER} && {ANSWER}.innerText)"):
                return
            time.sleep(0.1)


def test_page_shows_every_operation_and_calculates(service: Service, tmp_path: Path) -> None:
    """All operations are shown; `ride` opens, runs with its example and shows the library's number."""
    wanted = operations(service)
    assert len(wanted) > 2 * len(CALCULATIONS)
    with opened(tmp_path) as browser:
        browser.open(f"{service.address}/docs")
        browser.wait("document.querySelectorAll('.opblock').length")
        assert set(wanted) <= set(browser.value("[...document.querySelectorAll('[id]')].map((e) => e.id)"))
        browser.picture(tmp_path / "docs.png")
        browser.value(f"{BLOCK}.querySelector('button').click()")
        browser.wait(f"!!{BLOCK}.querySelector('button.execute')")
        _execute(browser)
        assert browser.wait(f"{ANSWER} && {ANSWER}.innerText").startswith("200")
        shown = json.loads(browser.wait(f"{ANSWER_TEXT}.innerText"))
        browser.value(f"{BLOCK}.querySelector('.live-responses-table').scrollIntoView()")
        browser.picture(tmp_path / "answer.png")
        asked_for = browser.requested()
        assert browser.complaints() == []
    assert shown == calculate("ride", example_request("ride"))
    assert f"{service.address}/v1/ride" in asked_for
    assert all(address.startswith((f"{service.address}/", "data:", "about:")) for address in asked_for), asked_for
    assert (tmp_path / "docs.png").stat().st_size > 20_000


@pytest.mark.parametrize("name", [FULL, SHELL])
def test_browser_asks_nobody_else(service: Service, tmp_path: Path, name: str) -> None:
    """What the page asks for, and what the browser connects to while the page is open, is this machine."""
    with opened(tmp_path, name) as browser:
        browser.open(f"{service.address}/docs")
        browser.wait("document.querySelectorAll('.opblock').length")
    found = hosts_asked(tmp_path)
    assert found["pages"] == {"127.0.0.1"}
    assert found["connections"] == {"127.0.0.1"}
    if name == SHELL:
        assert found["all"] == {"127.0.0.1"}


def test_log_of_requests_is_awake(tmp_path: Path) -> None:
    """A page that asks another host is seen."""
    page = tmp_path / "page.html"
    page.write_text("<img src='http://elsewhere.invalid/a.png'><p id=p>shown</p>", encoding="utf-8")
    with opened(tmp_path, SHELL) as browser:
        browser.open(page.as_uri())
        browser.wait("document.readyState === 'complete' && !!document.getElementById('p')")
    assert hosts_asked(tmp_path)["all"] == {"elsewhere.invalid"}
