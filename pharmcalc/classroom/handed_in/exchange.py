"""nbgrader's exchange, with what a class on a shared machine needs besides. ``nbgrader_config.py`` names these classes.

The exchange is a folder into which every student writes, so what lies in it is a student's word: also the links
in it and the time on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from nbgrader.exchange.default import ExchangeCollect, ExchangeReleaseFeedback

from pharmcalc.classroom.handed_in.submitted import time_of
from pharmcalc.classroom.marking.finished import SECRET
from pharmcalc.errors import CourseError

__all__ = ["Collect", "ReleaseFeedback"]

#: So much later than it says may a hand-in have been written before this is told.
_SLACK = timedelta(minutes=10)


class Collect(ExchangeCollect):  # type: ignore[misc]  # nbgrader has no types
    """``nbgrader collect`` that follows no link: the instructor may read what the student who made it may not."""

    src_records: list[dict[str, Any]]

    def init_src(self) -> None:
        """Find the hand-ins; set aside those with a link in them, and tell those that are later than they say."""
        super().init_src()
        self.src_records = [record for record in self.src_records if self._usable(record)]

    def _usable(self, record: Mapping[str, Any]) -> bool:
        folder, number = Path(self.inbound_path) / record["filename"], record["username"]
        inside = [folder, *folder.rglob("*")]
        if links := [path.name for path in inside if path.is_symlink()]:
            self.log.error(
                "%s: not collected, because %s is a link to another place; ask for the file itself", number, links[0]
            )
            return False
        try:
            said = min(record["timestamp"], time_of(folder) or record["timestamp"])
        except CourseError:  # told when it is marked
            return True
        written = datetime.fromtimestamp(max(path.stat().st_ctime for path in inside), UTC).replace(tzinfo=None)
        if written > said + _SLACK:
            self.log.warning(
                "%s: the hand-in says %s UTC, but was written to until %s UTC",
                number,
                f"{said:%F %H:%M}",
                f"{written:%F %H:%M}",
            )
        return True


class ReleaseFeedback(ExchangeReleaseFeedback):  # type: ignore[misc]
    """``nbgrader release_feedback`` that does not stop at whoever handed in by another way than the exchange."""

    def copy_files(self) -> None:
        """Hand out the pages of hand-ins that came through the exchange, and name the others."""
        folders = Path(self.coursedir.root).glob(
            f"{self.coursedir.feedback_directory}/*/{self.coursedir.assignment_id}"
        )
        others = sorted(folder.parent.name for folder in folders if not (folder / SECRET).is_file())
        if others:
            self.log.warning("Not handed in through the exchange, give the page by hand: %s", ", ".join(others))
        excluded = filter(None, self.coursedir.student_id_exclude.split(","))
        self.coursedir.student_id_exclude = ",".join([*excluded, *others])
        super().copy_files()
