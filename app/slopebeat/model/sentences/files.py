"""What readers say of a file: why there is nothing in it to read, and what was found wrong with it."""

from __future__ import annotations

from collections.abc import Mapping

from slopebeat.model.language import mark, trn
from slopebeat.model.measures import counted, figure
from slopebeat.model.sentences.wording import TENTH, Wording


def _records(count: int) -> str:
    return trn("{count} record", "{count} records", count).format(count=counted(count))


def _points(count: int) -> str:
    return trn("{count} point", "{count} points", count).format(count=counted(count))


def _megabytes(count: int) -> str:
    return f"{count // (1024 * 1024)} MB"


FILES: Mapping[str, str | Wording] = {
    "column.cadence_rpm": mark("cadence"),
    "column.distance_m": mark("distance"),
    "column.elevation_m": mark("elevation"),
    "column.hr_bpm": mark("heart rate"),
    "column.lat_deg": mark("latitude"),
    "column.lon_deg": mark("longitude"),
    "column.power_w": mark("power"),
    "column.speed_mps": mark("speed"),
    "column.temperature_c": mark("temperature"),
    "content.binary": mark("binary data of an unknown kind"),
    "content.bzip2": mark("a bzip2 archive; unpack it and open the recording in it"),
    "content.damaged_xml": mark("a damaged XML document"),
    "content.database": mark("a database"),
    "content.jpeg": mark("a JPEG picture"),
    "content.no_gpx": mark("no GPX file"),
    "content.pdf": mark("a PDF document"),
    "content.png": mark("a PNG picture"),
    "content.seven_zip": mark("a 7z archive; unpack it and open the recording in it"),
    "content.text": mark("plain text"),
    "content.xml": mark("an XML document with the root element {root}"),
    "content.xz": mark("an XZ archive; unpack it and open the recording in it"),
    "content.zip": mark("a ZIP archive; unpack it and open the recording in it"),
    "count.points": Wording("{count}", {"count": _points}),
    "count.records": Wording("{count}", {"count": _records}),
    "file.denied": mark("{name} may not be read: permission was denied."),
    "file.distance_stood": mark(
        "The distance in the file stands still while the positions move; it was measured along them."
    ),
    "file.empty": mark("{name} is empty."),
    "file.far": Wording(mark("{records} left out: the times span more than {days} days."), {"days": figure}),
    "file.folder": mark("{name} is a folder; choose a recording in it."),
    "file.in_the_future": Wording(
        mark("The file is dated {date}, in the future: the device's clock was wrong."),
        {"date": "{:%Y-%m-%d}".format},
    ),
    "file.no_recording": mark("{name} is not a {formats} recording: it is {what}."),
    "file.not_there": mark("There is no file {path}."),
    "file.nothing_unpacked": mark("{name} is a gzip archive, but nothing in it could be unpacked."),
    "file.packed_damaged": mark("The packed file is damaged; {count} bytes could be unpacked."),
    "file.packed_twice": mark("{name} is packed twice; unpack it once and open it again."),
    "file.too_large": Wording(
        mark("{name} is larger than {most}, too large for a recording."), {"most": _megabytes}
    ),
    "file.too_many": mark("The file holds more than {most} {things}, too many for a recording."),
    "file.unpacks_too_large": Wording(
        mark("{name} unpacks to more than {most}, too large for a recording."), {"most": _megabytes}
    ),
    "file.unreadable": mark("{name} could not be read: {reason}."),
    "file.untimed": mark("{records} without a time left out."),
    "file.value_count": mark("{name} ({count})"),
    "file.values_left_out": mark("Values that cannot be were left out: {parts}."),
    "ground.a_picture": mark("{name} holds a picture, not elevations."),
    "ground.damaged": mark("{name} cannot be read as elevations: {reason}."),
    "ground.damaged_tiles": mark("{name} is damaged, or no MBTiles file: {reason}."),
    "ground.no_elevation": mark("{name} is no elevation file that can be read: HGT and GeoTIFF are."),
    "ground.no_pictures": mark("{name} holds tiles of the format {form}; only pictures can be shown."),
    "ground.no_place": mark("{name} does not say where on the ground it lies."),
    "ground.no_square": mark(
        "{name} does not say which square of the world it is; such files are called like N46E011.hgt."
    ),
    "ground.no_tiles": mark("{name} is no MBTiles file."),
    "ground.not_degrees": mark(
        "{name} is not laid out in degrees of latitude and longitude; save it so (EPSG:4326) with a "
        "program for maps first."
    ),
    "ground.wrong_size": mark(
        "{name} is damaged: {size} bytes are no square of 1201 or 3601 elevations a side."
    ),
    "fit.check_sum": mark("The check sum does not match the content: some values may be damaged."),
    "fit.clock_jumped": mark(
        "The device's clock jumped: {records} with times that do not fit the others left out."
    ),
    "fit.clock_not_set": mark("The device's clock was not set, so the date shown is not that of the outing."),
    "fit.course": mark("{name} is a FIT file with a planned course, not a recorded activity."),
    "fit.damaged": mark(
        "The file is damaged: {unread} of {total} bytes could not be read; {kept} records before "
        "that were kept."
    ),
    "fit.ends_early": mark(
        "The file ends early: {unread} of {total} bytes could not be read; {kept} records before "
        "that were kept."
    ),
    "fit.few_records": mark(
        "{name} is a FIT file with {records}; an activity needs {fewest} at different times."
    ),
    "fit.no_activity": mark("{name} is a FIT file of type {kind} and holds no records of an activity."),
    "fit.no_check_sum": mark(
        "The file ends without its check sum, so its values could not be checked against damage."
    ),
    "fit.trailing_bytes": mark("{count} bytes behind the end of the recording are no FIT data; left out."),
    "format.names": mark("{names} or {last}"),
    "gpx.few_points": mark("{name} holds no track with {fewest} points at different times."),
    "gpx.no_points": mark("{name} is a GPX file without track points, so there is no recording in it."),
    "gpx.route": mark(
        "{name} holds {count} track points of which {timed} carry a time: a route, not a recording."
    ),
    "many.activities": mark("activities"),
    "many.beats": mark("beats of the heart"),
    "many.definitions": mark("different definitions of messages"),
    "many.fit_files": mark("FIT files one behind another"),
    "many.laps": mark("laps"),
    "many.messages": mark("messages"),
    "many.other_messages": mark("events, laps and device notes"),
    "many.records": mark("records"),
    "many.track_points": mark("track points"),
    "many.tracks": mark("tracks"),
    "tcx.few_points": mark(
        "{name} is a TCX file with {activities} activities and {count} track points; a recording "
        "needs {fewest} points at different times."
    ),
    "way.elevation_gaps": mark("{known} points carry no elevation; it is drawn straight across them."),
    "way.far_apart": Wording(
        mark(
            "Two neighbouring points lie {length} km apart; the way is drawn straight between them, "
            "and its real length and climbs there are unknown."
        ),
        {"length": TENTH},
    ),
    "way.little_elevation": mark(
        "Only {known} of {total} points carry an elevation, so the way is taken as level: climbs,"
        " times and heart rates on hills are not in the plan."
    ),
    "way.misplaced": mark("{misplaced} points without a place on Earth were left out."),
    "way.no_elevation": mark(
        "The file carries no elevation, so the way is taken as level: climbs, times and heart "
        "rates on hills are not in the plan."
    ),
    "way.no_gpx": mark("A planned route is read from GPX; {name} is {what}."),
    "way.no_points": mark("{name} holds no way to plan on: it has no route and no track points."),
    "way.one_place": mark("{name} holds no way to plan on: all its points lie in one place."),
    "way.too_long": Wording(
        mark(
            "A way in {name} is {distance} km long, more than the {most} km taken for one outing; it "
            "was not read."
        ),
        {"most": figure},
    ),
    "xml.breaks_off": mark("The file breaks off or is malformed at line {line}; what came before was kept."),
    "xml.encoding": mark("The file's text encoding is not supported; what could be read was kept."),
    "xml.entities": mark(
        "{name} defines XML entities or refers to other files, which no recording needs and which"
        " can do harm; it was not read."
    ),
    "xml.large_point": mark("The file holds a track point larger than {most} bytes; it was not read."),
    "xml.too_deep": mark("The file nests XML elements more than {most} deep; it was not read."),
}
"""By key; ``many``, ``content`` and ``column`` are parts of sentences."""
