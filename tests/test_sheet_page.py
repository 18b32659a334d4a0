"""The page to print: well-formed, the text sheet's numbers, nothing of a car file taken for HTML, no file lost."""

import re
import sys
from collections import Counter
from copy import deepcopy
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from libdamp import sheet_data, sheet_hands, sheet_page
from libdamp.__main__ import main
from libdamp.answers import CAUTIONS
from libdamp.demo import demo_data
from libdamp.sheet import sheet_text
from libdamp.sheet_changes import change_rows
from libdamp.sheet_columns import verdict_cell
from libdamp.sheet_data import Sheet
from libdamp.sheet_hands import ROOMS, ChangeRow, first_page, shortened
from libdamp.sheet_page import START, is_foreign, page_html
from libdamp.sheet_words import together_words

VOID = {"meta", "br"}
EVIL = '<script>alert(1)</script> & "x" <img src=y onerror=z>'


class Reader(HTMLParser):
    """Reads a page: open elements must close in order; words of the sheet apart from those of pictures."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: Counter[str] = Counter()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.words: dict[str, str] = {"hands": "", "second": "", "more": ""}
        self.part = ""
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Count it, keep names and links."""
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Count it, keep names and links."""
        self.tags[tag] += 1
        for name, value in attrs:
            assert not name.startswith("on"), name
            if name == "id":
                self.ids.append(value or "")
                self.part = value if value in self.words else self.part  # type: ignore[assignment]
            elif name in ("href", "xlink:href", "src", "action", "data", "srcset"):
                self.links.append(value or "")

    def handle_endtag(self, tag: str) -> None:
        """What closes is what was opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Words outside pictures."""
        if self.part and "svg" not in self.open:
            self.words[self.part] += f" {data}"


def plain(text: str) -> str:
    """A text with single blanks."""
    return " ".join(text.split())


def numbers(text: str) -> Counter[str]:
    """How often each number stands in a text."""
    return Counter(re.findall(r"\d+(?:\.\d+)?", text))


@pytest.fixture(scope="module")
def truck() -> Sheet:
    """Sheet of the demo truck."""
    return sheet_data.sheet_of(demo_data("demo-truck"))


@pytest.fixture(scope="module")
def smallest() -> Sheet:
    """Sheet of ten facts: much assumed."""
    return sheet_data.sheet_of(demo_data("demo-smallest"))


def evil_data() -> dict[str, Any]:
    """A car full of faults whose names are HTML."""
    data = deepcopy(demo_data("demo-smallest"))
    for end in ("front", "rear"):
        data["car"][end]["shock"]["fill"] = {"kind": "bladder", "gas_ml": 0.06, "closing": "half"}
        data["car"][end]["spring"] = {
            "rate_n_mm": 0.3,
            "free_length_mm": 130,
            "block_length_mm": 120,
            "label": EVIL,
        }
        data["car"][end]["tyre"] = {"squash_mm": 2.5}
    data["car"]["label"] = f"{EVIL}\x1b\n{'long ' * 25}"
    data["use"] = {"label": EVIL, "oil_temperature_c": 70, "jump": "big"}
    return data


@pytest.fixture(scope="module")
def evil() -> Sheet:
    """Sheet of that car."""
    return sheet_data.sheet_of(evil_data())


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    """No matplotlib: quick pages."""
    for name in [n for n in sys.modules if n.split(".")[0] == "matplotlib"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "matplotlib", None)


def test_a_page_with_pictures(truck: Sheet) -> None:
    """Every element closes, names are there once, nothing is fetched, four pictures are said in words as well."""
    page = page_html(truck, "INVENTED car")
    read = Reader(page)
    assert page.startswith(START)
    assert len(set(read.ids)) == len(read.ids)
    assert read.links
    assert all(link.startswith("#") and link[1:] in read.ids for link in read.links)
    assert set(re.findall(r"url\(([^)]*)\)", page)) <= {f"#{name}" for name in read.ids}
    assert "@import" not in page
    assert read.tags["svg"] == read.tags["figure"] == 4
    assert page.count('role="img" aria-label="') == 4
    assert "damping force [N]: pushed in +, pulled out -, front: from " in page
    assert not read.tags["script"] + read.tags["link"] + read.tags["iframe"]


@pytest.mark.usefixtures("bare")
@pytest.mark.parametrize("name", ["truck", "smallest", "evil"])
def test_the_numbers_of_the_text_sheet(name: str, request: pytest.FixtureRequest) -> None:
    """Every number of the text sheet stands on the page as often at least; the hands' rows word for word."""
    sheet = request.getfixturevalue(name)
    read = Reader(page_html(sheet, "", change_rows(sheet.changes)))
    hands = plain(read.words["hands"]).replace("→", "->")
    text, whole = sheet_text(sheet), " ".join(read.words.values())
    short = re.sub(r"(long |\.\.\.)+", "", text)
    assert not numbers(short) - numbers(whole)
    for row in first_page(sheet, "", change_rows(sheet.changes)).rows:
        for cell in (row.front, row.rear or "", *row.items):
            assert plain(cell).replace(" (new)", " new") in hands.replace("  ", " ")
    for code in sheet.proposal.cautions:
        assert CAUTIONS[code] in hands
    labels = ["FRONT", "verdict", "1 fit", "2 fill", "3 set", "4 look", "5 expect", "together", "cautions"]
    places = [hands.index(f" {label} ") for label in labels]
    assert places == sorted(places)


@pytest.mark.usefixtures("bare")
def test_names_are_no_html(evil: Sheet) -> None:
    """What a car file calls things is text on the page, whatever it holds, in pictures as well."""
    read = Reader(page_html(evil))
    known = {
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "section",
        "header",
        "h1",
        "h2",
        "p",
        "table",
        "thead",
    }
    assert set(read.tags) <= known | {"tbody", "tr", "th", "td", "br", "b", "mark", "ul", "li"}
    words = plain(read.words["hands"])
    assert '<script>alert(1)</script> & "x"' in words
    assert "\x1b" not in page_html(evil)
    assert "fit spring 0.3 N/mm (<script>alert(1)</sc ...)" in words


@pytest.mark.usefixtures("bare")
def test_a_car_that_cannot_run_has_a_page(evil: Sheet) -> None:
    """A car that cannot be run has a page as well: it says so on the first."""
    words = plain(Reader(page_html(evil)).words["hands"])
    assert "DO NOT RUN (front)" in words
    assert not re.search(r"oil \+\d{4,} C", words)


def test_names_are_no_html_in_pictures() -> None:
    """The same for the label of a picture."""
    from libdamp.drawing import blank, described, svg_of

    figure = blank("A picture", EVIL, (3.0, 2.0))
    page = sheet_page._inline(svg_of(figure), described(figure), "p1-")
    assert "<script" not in page
    assert "<img" not in page
    assert "&lt;script&gt;alert(1)" in page


@pytest.mark.usefixtures("bare")
def test_the_first_page_gives_way(evil: Sheet, smallest: Sheet, truck: Sheet) -> None:
    """Where there is too much the letters shrink, then lists are cut and go on overleaf: nothing is lost."""
    assert first_page(truck).room == ROOMS[0]
    page = first_page(evil)
    assert page.room.size_pt == 8.5
    read = Reader(page_html(evil))
    assert "more overleaf" in read.words["hands"]
    text = plain(sheet_text(evil))
    for left in (*page.told_left, *page.measures_left):
        assert plain(left) in plain(read.words["second"]).replace("→", "->")
        assert ": (now " in left or plain(left) in text  # in the text it stands in a column
    assert "To know as well" in read.words["second"]
    assert min(room.size_pt for room in ROOMS) >= 8.5
    assert first_page(smallest).measures_left == ()


@pytest.mark.usefixtures("bare")
def test_changes_are_told_where_there_are_any(truck: Sheet) -> None:
    """Without rows there are no tables of changes; what helps a question is on the second page, the rest after."""
    without = Reader(page_html(truck))
    assert "other change" not in without.words["more"]
    assert "still ..." not in without.words["second"]
    assert " 6 if" not in without.words["hands"]
    asked = {350: "it slaps", 400: "it bounces", 450: "it dives", 500: "it rolls", 550: "it hops", 600: ""}
    rows = [
        ChangeRow(
            "front", f"oil {cst} cSt <b>", f"damping ratio +0.0{i}", "2 mm of travel" if i else "", why, bool(why)
        )
        for i, (cst, why) in enumerate(asked.items())
    ]
    read = Reader(page_html(truck, changes=rows))
    hands, second, more = (plain(read.words[part]) for part in ("hands", "second", "more"))
    far = [row._replace(near=False) for row in rows]
    assert " 6 if" not in Reader(page_html(truck, changes=far)).words["hands"]
    assert "6 if it slaps: front: oil 350 cSt <b>: damping ratio +0.00 it bounces: front: oil 400 cSt" in hands
    assert "oil 400 cSt <b>: damping ratio +0.01; costs 2 mm of travel" in hands
    assert "and 1 more overleaf" in hands
    assert "oil 550 cSt" not in hands
    for row in rows:
        assert (f"{row.asked} front {row.change} {row.gives}" in second) == bool(row.asked)
        assert (f"front {row.change} {row.gives}" in more) != bool(row.asked)


def test_a_page_without_room_is_brief(monkeypatch: pytest.MonkeyPatch, truck: Sheet) -> None:
    """What a change still misses is told with its end; the whole of it, and how the car is now, stand overleaf."""
    monkeypatch.setattr(sheet_hands, "PAGE_MM", 10.0)
    page = first_page(truck)
    assert page.room == ROOMS[-1]
    assert page.room.brief
    assert together_words(truck) in page.told_left
    told = {row.label: row for row in page.rows}
    assert "(now " in verdict_cell(truck, "rear")
    assert "(now " not in (told["verdict"].rear or "")
    assert any(line.startswith("rear: (now ") for line in page.told_left)
    assert together_words(truck).startswith(told["together"].front)


def test_shortened() -> None:
    """What is too long ends in dots, with blanks in it or without."""
    assert shortened("a b", 10) == "a b"
    assert shortened("x" * 50, 10) == "xxxxxx ..."
    assert len(shortened("word " * 50, 40)) <= 40
    assert shortened("a\tb\x00c", 10) == "a b c"


@pytest.mark.usefixtures("bare")
def test_written_and_written_again(
    smallest: Sheet, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page is written; without matplotlib it says how to get pictures; its own page may be written anew."""
    path = tmp_path / "sheet.html"
    monkeypatch.setattr("libdamp.sheet_data.sheet_of", lambda data: smallest if data else None)
    path.write_bytes(f"{START}an older page".encode())
    assert main(["demo-smallest", str(path)]) == 0
    said = capsys.readouterr().out
    assert 'pip install "libdamp[plot]"' in said
    assert "written: open it in a browser and print it" in said
    page = path.read_text(encoding="utf-8")
    assert "an older page" not in page
    assert "<svg" not in page
    assert "pip install &quot;libdamp[plot]&quot;" in page
    assert "INVENTED car, not your car: do not build from it." in page
    assert not is_foreign(path)


@pytest.mark.parametrize("content", ["", "<!DOCTYPE html>\n<p>mine", START[:-5]])
def test_another_file_is_never_overwritten(
    content: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file that does not begin as a page does stays as it is, and what to type instead is said."""
    path = tmp_path / "mine.html"
    path.write_text(content, encoding="utf-8")
    assert main(["demo-truck", str(path)]) == 2
    said = capsys.readouterr().err
    assert "it stays as it is; type: python -m libdamp demo-truck other.html" in said
    assert path.read_text(encoding="utf-8") == content


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["demo-truck", "sheet.pdf"], "type: python -m libdamp demo-truck sheet.html"),
        (["log.csv", "sheet.html"], "type: python -m libdamp log.csv"),
        (["no-such.toml", "none-yet.html"], "no-such.toml: there is no such file"),
        (["demo-truck", "."], "type: python -m libdamp demo-truck sheet.html"),
    ],
)
def test_refusals(words: list[str], wanted: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be written ends in one sentence that says what to type."""
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert wanted in said.err
    assert len(said.err.splitlines()) == 1
    assert not Path("none-yet.html").exists()


def test_a_word_before_the_car_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A word that is no car file before one that is: what to type is that file alone."""
    car = tmp_path / "mine.toml"
    car.write_text('size = "1:10 buggy"\n', encoding="utf-8")
    assert main(["sheet", str(car)]) == 2
    assert f"sheet: there is no such car file; type: python -m libdamp {car}" in capsys.readouterr().err


def test_a_folder_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A page that cannot be written says so, and what to type."""
    (tmp_path / "folder.html").mkdir()
    for target in (tmp_path / "no-such-folder" / "sheet.html", tmp_path / "folder.html"):
        assert main(["demo-smallest", str(target)]) == 2
        said = capsys.readouterr().err
        assert "cannot be written" in said
        assert "type: python -m libdamp demo-smallest other.html" in said
