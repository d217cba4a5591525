"""Build the browser edition into site/, for `make site`."""

import sys

from tools.notebooks import PROJECT
from tools.site import build, parts


def main() -> int:
    """Build the site unless it is fresh, and say how it is looked at."""
    place = build.SITE.relative_to(PROJECT)
    if build.is_fresh():
        print(f"{place}/ is up to date.")
    else:
        print("Building the browser edition (a minute or two the first time) ...", flush=True)
        try:
            build.fresh()
        except parts.PartError as problem:
            print(f"The browser edition was not built. {problem}", file=sys.stderr)
            return 1
        print(f"{place}/ is built: {build.size():.1f} MB. Put this folder on any web server.")
    print(f"To look at it here:  python3 -m http.server --bind 127.0.0.1 --directory {place}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
