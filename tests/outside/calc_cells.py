"""Lets a real LibreOffice calculate cells; run by the system's Python, which has the `uno` module.

/usr/bin/python3 calc_cells.py LOCALE < cells.json > shown.json

Input: {"A1": 1.5, "B1": "a text", "C1": "=FORMULA(A1)"}, formulas with English names and ';'. Output: for every
cell {"number": value or null, "shown": text, "error": code of the error, 0 without}.
"""

import json
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from pathlib import Path
from typing import Any

SECONDS = 120.0
PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>LOCALE</value></prop></item>
<item oor:path="/org.openoffice.Inet/Settings">
<prop oor:name="ooInetProxyType" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


def start(folder: Path, locale: str) -> tuple[subprocess.Popen[bytes], str]:
    """The office program with a profile of its own, and the name of the pipe it listens on."""
    office = shutil.which("soffice")
    if office is None:
        raise SystemExit("LibreOffice is not installed; run: bash tests/outside/install.sh")
    user = folder / "profile" / "user"
    user.mkdir(parents=True)
    (user / "registrymodifications.xcu").write_text(PROFILE.replace("LOCALE", locale), encoding="utf-8")
    pipe = f"cells{uuid.uuid4().hex}"
    process = subprocess.Popen(
        [
            office,
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--headless",
            "--norestore",
            "--nologo",
            "--nodefault",
            f"--accept=pipe,name={pipe};urp;",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    return process, pipe


def desktop_of(pipe: str, end: float) -> Any:
    """The office's desktop, once it listens."""
    try:
        import uno
    except ImportError:
        raise SystemExit("The module uno is missing; run: bash tests/outside/install.sh") from None
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    while True:
        try:
            context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:
            if time.monotonic() > end:
                raise SystemExit("LibreOffice did not start in time.") from None
            time.sleep(0.1)
        else:
            return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)


def calculated(desktop: Any, cells: dict[str, Any]) -> dict[str, Any]:
    """Cells of a new sheet as they are shown."""
    from com.sun.star.beans import PropertyValue

    document = desktop.loadComponentFromURL(
        "private:factory/scalc", "_blank", 0, (PropertyValue(Name="Hidden", Value=True),)
    )
    sheet = document.Sheets.getByIndex(0)
    for name, content in cells.items():
        cell = sheet.getCellRangeByName(name)
        if isinstance(content, (int, float)):
            cell.Value = content
        elif content.startswith("="):
            cell.Formula = content
        else:
            cell.String = content
    shown = {}
    for name in cells:
        cell = sheet.getCellRangeByName(name)
        error = cell.getError()
        is_number = cell.Type.value == "VALUE" or (cell.Type.value == "FORMULA" and cell.FormulaResultType2 == 1)
        shown[name] = {
            "number": cell.Value if is_number and not error else None,
            "shown": cell.String,
            "error": error,
        }
    document.close(True)
    return shown


def main() -> int:
    """Calculate the cells of the input."""
    cells = json.load(sys.stdin)
    with tempfile.TemporaryDirectory(prefix="cells", ignore_cleanup_errors=True) as folder:
        process, pipe = start(Path(folder), sys.argv[1])
        watch = threading.Timer(SECONDS, process.kill)
        watch.daemon = True
        watch.start()
        try:
            desktop = desktop_of(pipe, time.monotonic() + SECONDS)
            json.dump(calculated(desktop, cells), sys.stdout)
            desktop.terminate()
            process.wait(20)
        finally:
            watch.cancel()
            if process.poll() is None:
                process.kill()
                process.wait()
    return 0


if __name__ == "__main__":
    sys.exit(main())
