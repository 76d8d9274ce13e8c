"""Which outings of a library are parts of one: what the user said of it, and what was found."""

from __future__ import annotations

from collections.abc import Mapping

from slopebeat.library.connections import LibraryTable


class DayTable(LibraryTable):
    """The parts of days in a library; a day is called by the identity of its first part."""

    def joined_by_user(self, athlete: str) -> dict[str, bool]:
        """Whether an outing goes on where the one before it ended, by identity, where the user said so."""
        query = "SELECT identity, joined FROM outing WHERE athlete = ? AND joined IS NOT NULL"
        return {row[0]: bool(row[1]) for row in self._rows(query, athlete)}

    def put_joined(self, decided: Mapping[str, bool | None]) -> None:
        """Keep what the user said; None leaves it to time and place again."""
        self._set_outings("joined", decided)

    def of(self, athlete: str) -> dict[str, str]:
        """The day of each outing that is a part of one, by identity."""
        query = "SELECT identity, day FROM outing WHERE athlete = ? AND day IS NOT NULL"
        return dict(map(tuple, self._rows(query, athlete)))

    def parts(self, outing: str) -> tuple[str, ...]:
        """All parts of the day of an outing in order of time, itself among them; it alone where it has none.

        An outing that is not there has no parts.
        """
        query = (
            "SELECT identity, start_us FROM outing WHERE identity = ?1 UNION "
            "SELECT identity, start_us FROM outing WHERE day = (SELECT day FROM outing WHERE identity = ?1) "
            "ORDER BY start_us, identity"
        )
        return tuple(row[0] for row in self._rows(query, outing))

    def put(self, days: Mapping[str, str | None]) -> None:
        """Keep what was found: the day of each of these outings, None for one by itself."""
        self._set_outings("day", days)
