"""The page to print in a real browser: one sheet of paper for the hands, readable letters, nobody asked."""

import base64
import re
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from libdamp.demo import demo_data
from libdamp.sheet_data import sheet_of
from libdamp.sheet_hands import ChangeRow
from libdamp.sheet_page import page_html
from tests.test_sheet_page import evil_data

from .browser import SHELL, Browser, hosts_asked, opened

pytestmark = pytest.mark.outside
BANNER = "INVENTED car, not your car: do not build from it."
CHANGES = [
    ChangeRow("front", f"oil {cst} cSt", "damping ratio +0.08, touches 4 mm later", "contact on bumps -2 %", asked)
    for cst, asked in zip(range(300, 700, 10), [f"it does so {n}" for n in range(12)] + 28 * [""], strict=True)
]
"""Invented rows, more than fit on a page."""
LETTERS = """[...document.querySelectorAll('body, body *')]
    .filter((e) => !e.closest('svg') && [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
    .map((e) => parseFloat(getComputedStyle(e).fontSize) * 72 / 96)"""


def cars() -> dict[str, dict[str, Any]]:
    """Car files: measured, ten facts, and one full of faults with long names."""
    return {name: demo_data(f"demo-{name}") for name in ("truck", "buggy", "smallest")} | {"evil": evil_data()}


def pages_of(browser: Browser) -> int:
    """How many pages the printed document has."""
    printed = browser.call("Page.printToPDF", preferCSSPageSize=True, printBackground=False)
    return len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(printed["data"])))


def shown(browser: Browser, page: str, path: Path) -> None:
    """Open a page as a file."""
    path.write_text(page, encoding="utf-8")
    browser.open(path.as_uri())
    browser.wait("document.readyState === 'complete' && !!document.getElementById('more')")


@pytest.mark.parametrize("name", cars())
def test_the_first_page_is_one_page(name: str, tmp_path: Path) -> None:
    """What the hands need, cautions too, takes one page, bands and questions a second; the rest comes after."""
    sheet = sheet_of(deepcopy(cars()[name]))
    with opened(tmp_path, SHELL) as browser:
        for changes in ((), CHANGES):
            shown(browser, page_html(sheet, BANNER, changes), tmp_path / "sheet.html")
            whole = pages_of(browser)
            assert browser.value("document.querySelector('#hands .cautions').innerText.length") > 300
            browser.value("document.getElementById('more').remove()")
            assert pages_of(browser) == 2 or name == "evil"
            browser.value("document.getElementById('second').remove()")
            assert pages_of(browser) == 1
            assert whole >= 3
        asked = browser.requested()
        assert browser.complaints() == []
    assert all(address.startswith(("file:", "about:")) for address in asked), asked
    assert hosts_asked(tmp_path) == {"pages": set(), "all": set(), "connections": set()}


def test_letters_can_be_read(tmp_path: Path) -> None:
    """No letters below 8.5 points, what to fit largest below the title; tables repeat their heads overleaf."""
    with opened(tmp_path, SHELL) as browser:
        shown(browser, page_html(sheet_of(evil_data()), BANNER, CHANGES), tmp_path / "sheet.html")
        browser.call("Emulation.setEmulatedMedia", media="print")
        assert round(min(browser.value(LETTERS)), 3) >= 8.5
        size = "parseFloat(getComputedStyle(document.querySelector('{}')).fontSize)"
        others = [browser.value(size.format(f"#hands {kind} td")) for kind in (".verdict", ".beside", ".cautions")]
        assert browser.value(size.format("#hands .fit td")) > max(others)
        heads = browser.value("[...document.querySelectorAll('thead')].map((e) => getComputedStyle(e).display)")
        assert set(heads) == {"table-header-group"}


def test_the_same_page_on_a_small_screen(tmp_path: Path) -> None:
    """On a screen of 400 points nothing sticks out to the side but is cut off nowhere."""
    with opened(tmp_path, SHELL) as browser:
        browser.call("Emulation.setDeviceMetricsOverride", width=400, height=800, deviceScaleFactor=1, mobile=False)
        shown(browser, page_html(sheet_of(demo_data("demo-truck")), BANNER), tmp_path / "sheet.html")
        assert browser.value("document.querySelectorAll('svg').length") == 4
        assert browser.value("document.documentElement.scrollWidth") <= 400
