"""Get what the browser tests need where that may be done without asking, and say how where it may not."""

import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Callable

from tests.browser import find_browser

# Debian's packages, then Ubuntu's. A bare machine also lacks a font, and a library that Playwright needs.
PACKAGES = (
    ("chromium", "fonts-dejavu-core", "libatomic1"),
    ("chromium-browser", "fonts-dejavu-core", "libatomic1"),
)


def problem() -> str:
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


def install() -> None:
    """Install what is missing with apt-get where this process is root on Debian or Ubuntu.

    Elsewhere nothing is done. Whether it worked is for the caller to see, who asks for the problem again.
    """
    if not may_install():
        return
    print("Installing chromium for the browser tests ...", flush=True)
    environ = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    apt_get = ["apt-get", "--quiet", "--quiet"]
    subprocess.run([*apt_get, "update"], env=environ, stdin=subprocess.DEVNULL, check=False)
    for packages in PACKAGES:
        command = [*apt_get, "install", "--yes", "--no-install-recommends", *packages]
        if subprocess.run(command, env=environ, stdin=subprocess.DEVNULL, check=False).returncode == 0:
            return


def may_install() -> bool:
    """Say whether this process is root on a system of the Debian family."""
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return root and shutil.which("apt-get") is not None


def how_to(
    system: str = sys.platform,
    which: Callable[[str], str | None] = shutil.which,
    distribution: Callable[[], dict[str, str]] = platform.freedesktop_os_release,
) -> str:
    """Return the command that a person types to get what is missing on this system."""
    if system == "darwin":
        return "brew install --cask google-chrome"
    if system == "win32":
        return "winget install Google.Chrome"
    if which("apt-get"):
        packages = PACKAGES[1 if distribution().get("ID") == "ubuntu" else 0]
        return "sudo apt-get install " + " ".join(packages)
    if which("dnf"):
        return "sudo dnf install chromium libatomic"
    return "PHARMCALC_BROWSER=/path/to/chromium make test"
