"""Make TCX documents for tests."""

from __future__ import annotations


def clock(second: int) -> str:
    """A time of day, seconds after the start."""
    return f"2024-05-01T{8 + second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}Z"


def point(second: int, inside: str = "") -> str:
    """A track point with a time and whatever else."""
    return f"<Trackpoint><Time>{clock(second)}</Time>{inside}</Trackpoint>"


def track(*seconds: int) -> str:
    """A track with points at these seconds."""
    return f"<Track>{''.join(point(second) for second in seconds)}</Track>"


def lap(start: int, timer_s: float | None, *tracks: str, distance_m: float = 100.0) -> str:
    """A lap of tracks; without ``timer_s`` it says no timer time."""
    total = "" if timer_s is None else f"<TotalTimeSeconds>{timer_s}</TotalTimeSeconds>"
    return (
        f'<Lap StartTime="{clock(start)}">{total}<DistanceMeters>{distance_m}</DistanceMeters>'
        f"{''.join(tracks)}</Lap>"
    )


def activity(*laps: str, sport: str = "Other") -> str:
    """An activity of laps."""
    creator = "<Creator><Name>ridge patrol watch</Name></Creator>"
    return f'<Activity Sport="{sport}"><Id>x</Id>{"".join(laps)}{creator}</Activity>'


def tcx(*activities: str) -> str:
    """A document of activities."""
    return (
        '<TrainingCenterDatabase xmlns="urn:t" xmlns:e="urn:e"><Activities>'
        f"{''.join(activities)}</Activities></TrainingCenterDatabase>"
    )
