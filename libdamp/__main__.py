"""python -m libdamp: the set-up sheet and its few companions."""

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from . import __version__
from .demo import NAMES, demo_data
from .errors import Fault, InputError, TooCostly

WHAT = f"libdamp {__version__}: choose, build and tune the oil-filled coil-over shocks of a model car."
INVENTED = "INVENTED {}, not your car: do not build from it."
COMMANDS = """
  python -m libdamp demo-truck                 the whole sheet of this invented car
  python -m libdamp new "1:10 truck" car.toml  ten facts to fill in, each with how to measure
  python -m libdamp car.toml                   your sheet (--json: as data)
  python -m libdamp car.toml sheet.html        the same as a page to print, with pictures
  python -m libdamp changes car.toml "slaps"   which single change helps, and what it costs
  python -m libdamp season car.toml 5 15 30    what oil to fit or mix at which temperature
  python -m libdamp log.csv                    your season's rows in, the same rows with answers out
  python -m libdamp list                       what can be calculated, and every name
"""
TAKES = {
    "new": 'new takes a size and a file: python -m libdamp new "1:10 truck" car.toml',
    "changes": 'changes takes a car file, and what is wrong: python -m libdamp changes car.toml "slaps"',
    "season": "season takes a car file: python -m libdamp season car.toml 5 15 30 (or season demo-truck)",
}
"""What is said of a word that is not followed by what it needs."""


class Stop(Exception):  # noqa: N818 - it ends the program in an orderly way
    """A clear sentence and exit code 2."""


def say(text: str) -> None:
    """Write to standard output."""
    sys.stdout.write(text)


def shown_place(fault: Fault) -> str:
    """Place of a fault in words: car.front.shock.bore_mm."""
    return fault.pointer.strip("/").replace("/", ".")


def fault_lines(name: str, error: InputError) -> str:
    """One line a fault."""
    lines = []
    for fault in error.faults:
        place = shown_place(fault)
        lines.append(f"{name}: {place}: {fault.text}" if place else f"{name}: {fault.text}")
    return "\n".join(lines)


def demo() -> str:
    """What is printed without arguments."""
    from .sheet import short_text
    from .sheet_data import sheet_of

    sheet = sheet_of(demo_data("demo-truck"))
    return f"{WHAT}\n{INVENTED.format('1:10 truck')}\n\n{short_text(sheet)}{COMMANDS}"


def sheet(name: str, data: dict[str, Any], as_json: bool) -> str:
    """Sheet of a car file, as text or as data."""
    from .sheet import sheet_text
    from .sheet_data import sheet_of

    with patience("working out every build and every change"):
        made = sheet_of(data)
    if as_json:
        answers = {
            "assumed": made.assumed,
            "plan": made.plan,
            "as_it_stands": made.check,
            "proposal": made.proposal,
            "helps": () if made.changes is None else made.changes.helps,
            "landings": {end: seen._asdict() for end, seen in made.landings.items()},
        }
        return as_data(answers)
    return sheet_text(made, INVENTED.format("car") if name in NAMES else "")


def car_data(name: str) -> dict[str, Any]:
    """Plain data of a bundled car or a car file."""
    from .files import read_car_file

    path = Path(name)
    if name not in NAMES and not path.exists():
        raise Stop(f"{name}: there is no such file{near_name(path)}; 'python -m libdamp list' shows what there is")
    return demo_data(name) if name in NAMES else read_car_file(path)


def near_name(path: Path) -> str:
    """What may have been meant by a name that is no file: a command, a bundled car, a file beside it."""
    from difflib import get_close_matches

    beside = [str(one) for one in path.parent.glob("*") if one.suffix.lower() in (".toml", ".json", ".csv")]
    close = get_close_matches(str(path), [*TAKES, "list", *NAMES, *beside], n=1, cutoff=0.6)
    return f", did you mean '{close[0]}'?" if close else ""


def meant(name: str, word: str) -> str:
    """What may have been meant by a name and a word that is no page to print."""
    from difflib import get_close_matches

    from .changes_lines import asked_in

    for wrong, rest in ((name, word), (word, name)):
        close = get_close_matches(wrong, TAKES, n=1, cutoff=0.7)
        if close:
            return f"'{wrong}' is not understood there; type: python -m libdamp {close[0]} {rest}"
    try:
        asked_in([word])
    except InputError:
        return ""
    return f"'{word}': type: python -m libdamp changes {name} \"{word}\""


@contextmanager
def patience(text: str) -> Iterator[None]:
    """A word on standard error while something takes more than a second."""
    timer = threading.Timer(1.0, sys.stderr.write, (f"{text} ...\n",))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def page(name: str, target: str) -> str:
    """Write the sheet of a car file as a page to print."""
    from .drawing import NEEDS
    from .sheet_changes import change_rows
    from .sheet_data import sheet_of
    from .sheet_page import is_foreign, page_html

    path, again = Path(target), f"python -m libdamp {name} other.html"
    if name not in NAMES and Path(name).suffix.lower() == ".csv":
        raise Stop(f"{name}: a log has no page to print; type: python -m libdamp {name}")
    if path.suffix.lower() not in (".html", ".htm"):
        instead = meant(name, target)
        if instead:
            raise Stop(instead)
        if path.is_file() and name not in NAMES and not Path(name).exists():
            raise Stop(f"{name}: there is no such car file; type: python -m libdamp {target}")
        raise Stop(f"{target}: a page to print is HTML; type: python -m libdamp {name} sheet.html")
    if not path.parent.is_dir():
        raise Stop(f"{target} cannot be written: there is no such folder; type: {again}")
    try:
        if is_foreign(path):
            raise Stop(f"{target} exists already and is no sheet of libdamp: it stays as it is; type: {again}")
        data = car_data(name)
        with patience("working out every build and every change, drawing"):
            made = sheet_of(data)
            text = page_html(
                made, INVENTED.format("car") if name in NAMES else "", change_rows(made.changes, made.untold)
            )
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise Stop(f"{target} cannot be written: {error.strerror or error}; type: {again}") from None
    pictures = "" if "<svg" in text else f"Without pictures: {NEEDS}\n"
    return f"{target} written: open it in a browser and print it\n{pictures}"


def as_data(data: Any) -> str:
    """Plain data and Structs as JSON, for reading."""
    return msgspec.json.format(msgspec.json.encode(data), indent=1).decode() + "\n"


def oils(name: str, temperatures: list[str], as_json: bool) -> str:
    """Oils of a season for a car, as text or as data."""
    from .season_table import season_of, season_text, temperatures_of

    celsius = temperatures_of(temperatures)
    table = season_of(car_data(name), celsius)
    if as_json:
        return as_data({"assumed": table.assumed, **table.ends})
    return season_text(table, INVENTED.format("car") if name in NAMES else "")


def new(size: str, target: str) -> str:
    """Write a car file to fill in."""
    from .files import new_car_text

    text = new_car_text(size)
    if Path(target).suffix.lower() != ".toml":
        raise Stop(f"{target}: the new file is TOML; give it a name that ends in .toml")
    try:
        with Path(target).open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise Stop(f"{target} exists already: name another file, or move it away first") from None
    except OSError as error:
        raise Stop(f"{target} cannot be written: {error.strerror or error}") from None
    return f"{target} written: fill in its ten facts, then: python -m libdamp {target}\n"


def log(path: Path, as_json: bool) -> str:
    """Rows of a season's log with the answers appended."""
    from .logbook import answered

    last = time.monotonic()

    def progress(done: int, total: int) -> None:
        nonlocal last
        if time.monotonic() - last > 1.0:
            last = time.monotonic()
            sys.stderr.write(f"{done} of {total} rows\n")

    text, rows, kept = answered(path, progress)
    if kept:
        sys.stderr.write(f"kept as they are: {', '.join(kept)}\n")
    failed = sum(1 for row in rows if row["answer.error"])
    if failed:
        sys.stderr.write(f"{failed} of {len(rows)} rows could not be answered: see the column answer.error\n")
    return as_data(rows) if as_json else text


def what_if(name: str, words: list[str], as_json: bool) -> str:
    """What each single change does to a car, or which helps what the words say."""
    from .changes_lines import asked_in, changes_of, changes_text

    data = {**car_data(name), **asked_in(words)}
    with patience("working out every change, one at a time"):
        asked, answer = changes_of(data)
    return (
        as_data(answer) if as_json else changes_text(answer, asked, INVENTED.format("car") if name in NAMES else "")
    )


def listing(as_json: bool) -> str:
    """What can be calculated, and every name."""
    from .addresses import addresses
    from .assume import SIZE_NAMES, SURFACE_NAMES
    from .calculations import CALCULATIONS

    columns = list(addresses(CALCULATIONS["check"].request))
    if as_json:
        data = {
            "calculations": {name: c.meaning for name, c in CALCULATIONS.items()},
            "bundled": list(NAMES),
            "sizes": SIZE_NAMES,
            "surfaces": SURFACE_NAMES,
            "log_columns": ["setup", "size", "surface", *columns],
        }
        return as_data(data)
    lines = ['calculations (from Python: libdamp.NAME(...) or libdamp.calculate("NAME", {...})):']
    lines += [f"  {name:<20} {c.meaning}" for name, c in CALCULATIONS.items()]
    lines += ["", "bundled cars, invented: " + ", ".join(NAMES)]
    lines += ["sizes: " + ", ".join(f'"{s}"' for s in SIZE_NAMES)]
    lines += ["surfaces: " + ", ".join(f'"{s}"' for s in SURFACE_NAMES)]
    lines += ["", "columns of a log: setup, size, surface, and (rear. for front.)"]
    lines += [f"  {name}" for name in columns if not name.startswith("rear.")]
    return "\n".join(lines) + "\n"


def help_of(words: list[str]) -> str:
    """What is printed for --help, --version, and for a command with --help; empty for anything else."""
    match words:
        case ["--version"]:
            return f"{__version__}\n"
        case ["-h" | "--help" | "help"]:
            return f"{WHAT}\n{COMMANDS}"
        case ["new" | "season" | "changes" as word, "-h" | "--help"]:
            return f"{TAKES[word]}\n"
    return ""


def run(arguments: list[str]) -> str:
    """Text to print for a command line.

    Raises
    ------
    Stop : with a clear sentence.
    """
    as_json = "--json" in arguments
    words = [word for word in arguments if word != "--json"]
    helped = help_of(words)
    if helped:
        return helped
    match words:
        case []:
            return sheet("demo-truck", demo_data("demo-truck"), True) if as_json else demo()
        case ["list"]:
            return listing(as_json)
        case ["new", size, target]:
            return new(size, target)
        case ["season" | "changes" as word, name, *rest]:
            return (oils if word == "season" else what_if)(name, rest, as_json)
        case ["new" | "season" | "changes" as word, *_]:
            raise Stop(TAKES[word])
        case [name] if not name.startswith("-"):
            if name not in NAMES and Path(name).suffix.lower() == ".csv":
                return log(Path(name), as_json)
            return sheet(name, car_data(name), as_json)
        case [name, target] if not as_json and not name.startswith("-"):
            return page(name, target)
    instead = meant(words[0], " ".join(words[1:])) if len(words) > 1 else ""
    raise Stop(instead or f"'{' '.join(arguments)}' is not understood; type: python -m libdamp --help")


def main(arguments: list[str]) -> int:
    """Exit code of a command line: 0, or 2 after one clear sentence on standard error."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        say(run(arguments))
        sys.stdout.flush()
    except InputError as error:
        words = [w for w in arguments if w != "--json"]
        sys.stderr.write(fault_lines(words[1] if words[0] in ("season", "changes") else words[0], error) + "\n")
        return 2
    except (Stop, TooCostly) as error:
        sys.stderr.write(f"{error}\n")
        return 2
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        sys.stderr.write(f"cannot be written: {error.strerror or error}\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
