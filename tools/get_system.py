"""Get what the tests need from the system where that may be done without asking, and say how where it may not.

They need three things that Python does not bring: a browser, Pango, which lays out the printed sheets, and npm, which
fetches Python for the browser edition.
"""

import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from pharmcalc.sheets.pdf import missing
from tests.browser import find_browser
from tools.site import parts

__all__ = ["BROWSER", "NEEDS", "NPM", "PANGO", "Need", "how_to", "install", "lacking"]


@dataclass(frozen=True)
class Need:
    """Something of the system's that some tests need.

    marker: the pytest marker of these tests. problem: says why they cannot run here, or nothing. debian: sets of
    packages, the first that can be installed is taken; ``ubuntu``: the one to name there. The others are what a person
    types; ``other``: where no package is known.
    """

    marker: str
    problem: Callable[[], str]
    debian: tuple[tuple[str, ...], ...]
    fedora: str
    mac: str
    windows: str
    other: str


def no_browser() -> str:
    """Return why the browser tests cannot run here; nothing when they can."""
    if find_browser() is None:
        return "no Chromium, Chrome or Edge was found"
    if not driver_starts():
        return "Playwright, which steers the browser, does not start (its library libatomic may be missing)"
    return ""


def driver_starts() -> bool:
    """Say whether Playwright's own program runs on this machine."""
    command = [sys.executable, "-m", "playwright", "--version"]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def no_pango() -> str:
    """Return why no PDF can be made here; nothing when one can. A new process looks: what was missing is remembered."""
    command = [sys.executable, "-c", "import sys; from pharmcalc.sheets.pdf import missing; sys.exit(bool(missing()))"]
    if subprocess.run(command, capture_output=True, check=False).returncode == 0:
        return ""
    return (missing() or "the library Pango cannot be loaded").splitlines()[0].rstrip(".")


BROWSER = Need(
    "browser",
    no_browser,
    # Debian's packages, then Ubuntu's. A bare machine also lacks a font, and a library that Playwright needs.
    (("chromium", "fonts-dejavu-core", "libatomic1"), ("chromium-browser", "fonts-dejavu-core", "libatomic1")),
    fedora="chromium libatomic",
    mac="brew install --cask google-chrome",
    windows="winget install Google.Chrome",
    other="PHARMCALC_BROWSER=/path/to/chromium make test",
)
PANGO = Need(
    "pdf",
    no_pango,
    (("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0", "fonts-dejavu-core"),),
    fedora="pango dejavu-sans-fonts",
    mac="brew install pango",
    windows="pacman -S mingw-w64-x86_64-pango",
    other="(install the library Pango), then: make test",
)
NPM = Need(
    "site",
    parts.problem,
    (("npm",),),
    fedora="npm",
    mac="brew install node",
    windows="winget install OpenJS.NodeJS",
    other="(install Node.js with npm), then: make test",
)
NEEDS = (PANGO, BROWSER, NPM)


def lacking(needs: Iterable[Need]) -> list[tuple[Need, str]]:
    """Return those that are not met on this machine, each with the reason."""
    return [(need, why) for need in needs if (why := need.problem())]


def install(needs: Iterable[Need]) -> None:
    """Install what is missing with apt-get where this process is root on Debian or Ubuntu.

    Elsewhere nothing is done. Whether it worked is for the caller to see, who asks for the problem again.
    """
    wanted = list(needs)
    if not wanted or not may_install():
        return
    environ = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    apt_get = ["apt-get", "--quiet", "--quiet"]
    subprocess.run([*apt_get, "update"], env=environ, stdin=subprocess.DEVNULL, check=False)
    for need in wanted:
        print(f"Installing {need.debian[0][0]} for the {need.marker} tests ...", flush=True)
        for packages in need.debian:
            command = [*apt_get, "install", "--yes", "--no-install-recommends", *packages]
            if subprocess.run(command, env=environ, stdin=subprocess.DEVNULL, check=False).returncode == 0:
                break


def may_install() -> bool:
    """Say whether this process is root on a system of the Debian family."""
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return root and shutil.which("apt-get") is not None


def how_to(
    need: Need,
    system: str = sys.platform,
    which: Callable[[str], str | None] = shutil.which,
    distribution: Callable[[], dict[str, str]] = platform.freedesktop_os_release,
) -> str:
    """Return the command that a person types to get what is missing on this system."""
    if system == "darwin":
        return need.mac
    if system == "win32":
        return need.windows
    if which("apt-get"):
        packages = need.debian[-1 if distribution().get("ID") == "ubuntu" else 0]
        return "sudo apt-get install " + " ".join(packages)
    if which("dnf"):
        return f"sudo dnf install {need.fedora}"
    return need.other
