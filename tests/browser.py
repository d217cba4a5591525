"""Find a browser of the Chromium family, and say how the tests start it.

The tests bring no browser with them: they use the Chromium, Chrome or Edge that is there.
The environment variable PHARMCALC_BROWSER names another one.
"""

import os
import shutil
import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

VARIABLE = "PHARMCALC_BROWSER"

ON_PATH = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "microsoft-edge-stable",
    "msedge",
)
IN_FOLDERS = {
    "linux": ("/opt/google/chrome/chrome", "/opt/microsoft/msedge/msedge", "/snap/bin/chromium"),
    "darwin": (
        "Google Chrome.app/Contents/MacOS/Google Chrome",
        "Chromium.app/Contents/MacOS/Chromium",
        "Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    ),
    "win32": (
        r"Google\Chrome\Application\chrome.exe",
        r"Chromium\Application\chrome.exe",
        r"Microsoft\Edge\Application\msedge.exe",
    ),
}

# Quiet: no first-run page, and no calls to hosts that a lesson does not need.
QUIET = (
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--no-first-run",
)


def find_browser(
    environ: Mapping[str, str] = os.environ,
    platform: str = sys.platform,
    which: Callable[[str], str | None] = shutil.which,
    is_file: Callable[[str], bool] = os.path.isfile,
) -> Path | None:
    """Return the browser to use, or None where there is none.

    Raises FileNotFoundError when PHARMCALC_BROWSER names something that is not there: whoever sets it wants
    that browser and no other.
    """
    wanted = environ.get(VARIABLE)
    if wanted:
        found = which(wanted)
        if found is None:
            raise FileNotFoundError(
                f"{VARIABLE} is set to {wanted!r}, and no program is there. "
                "Set it to a Chromium, Chrome or Edge that can be started, or unset it."
            )
        return Path(found)
    for name in ON_PATH:
        found = which(name)
        if found is not None:
            return Path(found)
    for place in _places(environ, platform):
        if is_file(place):
            return Path(place)
    return None


def _places(environ: Mapping[str, str], platform: str) -> Iterator[str]:
    """Yield the full paths at which this system's installers put a browser."""
    if platform == "darwin":
        roots = ["/Applications/", environ.get("HOME", "") + "/Applications/"]
    elif platform == "win32":
        named = (environ.get(name) for name in ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"))
        roots = [root + "\\" for root in named if root]
    else:
        roots = [""]
    for root in roots:
        for place in IN_FOLDERS.get(platform, ()):
            yield root + place


def launch_options() -> dict[str, Any]:
    """Return what Playwright's `chromium.launch` needs to start the browser that was found.

    Raises FileNotFoundError with the cure when there is none.
    """
    browser = find_browser()
    if browser is None:
        raise FileNotFoundError(
            f"No Chromium, Chrome or Edge was found. Install one, or set {VARIABLE} to its path. "
            "To leave these tests out: pytest -m 'not browser'."
        )
    return {"executable_path": str(browser), "headless": True, "args": list(QUIET)}
