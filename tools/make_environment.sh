#!/bin/sh
# Make an empty environment with the newest tested Python on this machine:  tools/make_environment.sh FOLDER
# PYTHON=/path/to/python3 in front of it (or of make) chooses another one.
set -eu
folder=$1
tested="python3.13 python3.12 python3.11"

say() { printf '%s\n' "$*" >&2; }

# A name on the PATH may be a stand-in that cannot start, so each candidate is run. It answers with its own path,
# even from inside another environment. A Python that is missing or older than 3.11 answers nothing.
real_path() {
    "$1" -c 'import sys; sys.version_info >= (3, 11) and print(getattr(sys, "_base_executable", sys.executable))' \
        2>/dev/null || true
}

can_make_environments() { "$1" -c 'import ensurepip, venv' 2>/dev/null; }

may_install() { [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; }

incomplete=
chosen=
for name in ${PYTHON:-$tested python3 python}; do
    found=$(real_path "$name")
    [ -n "$found" ] || continue
    if can_make_environments "$found"; then chosen=$found; break; fi
    [ -n "$incomplete" ] || incomplete=$found
done

# Debian and Ubuntu keep a part of Python in a package of its own.
if [ -z "$chosen" ] && [ -n "$incomplete" ]; then
    package=$("$incomplete" -c 'import sys; print("python3.%d-venv" % sys.version_info[1])')
    if may_install; then
        say "Installing $package, which $incomplete lacks ..."
        { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "$package"; } >&2 || true
        if can_make_environments "$incomplete"; then chosen=$incomplete; fi
    fi
    if [ -z "$chosen" ]; then
        say "Found $incomplete, but it cannot make an environment: its venv module is not installed."
        say "On Debian or Ubuntu type:  sudo apt-get install $package"
        say "Then type the same make command again."
        exit 1
    fi
fi

if [ -z "$chosen" ]; then
    say "No Python 3.11 or newer was found (looked for: ${PYTHON:-$tested python3 python})."
    say "Install one (Debian or Ubuntu: sudo apt-get install python3 python3-venv), or name the one you have:"
    say "  make PYTHON=/path/to/python3"
    exit 1
fi

say "Using $("$chosen" --version) ($chosen)."
"$chosen" -m venv --clear "$folder"
