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


FILES: Mapping[str, Wording] = {
    "column.cadence_rpm": Wording(mark("cadence")),
    "column.distance_m": Wording(mark("distance")),
    "column.elevation_m": Wording(mark("elevation")),
    "column.hr_bpm": Wording(mark("heart rate")),
    "column.lat_deg": Wording(mark("latitude")),
    "column.lon_deg": Wording(mark("longitude")),
    "column.power_w": Wording(mark("power")),
    "column.speed_mps": Wording(mark("speed")),
    "column.temperature_c": Wording(mark("temperature")),
    "content.binary": Wording(mark("binary data of an unknown kind")),
    "content.bzip2": Wording(mark("a bzip2 archive; unpack it and open the recording in it")),
    "content.damaged_xml": Wording(mark("a damaged XML document")),
    "content.database": Wording(mark("a database")),
    "content.jpeg": Wording(mark("a JPEG picture")),
    "content.no_gpx": Wording(mark("no GPX file")),
    "content.pdf": Wording(mark("a PDF document")),
    "content.png": Wording(mark("a PNG picture")),
    "content.seven_zip": Wording(mark("a 7z archive; unpack it and open the recording in it")),
    "content.text": Wording(mark("plain text")),
    "content.xml": Wording(mark("an XML document with the root element {root}")),
    "content.xz": Wording(mark("an XZ archive; unpack it and open the recording in it")),
    "content.zip": Wording(mark("a ZIP archive; unpack it and open the recording in it")),
    "count.points": Wording("{count}", {"count": _points}),
    "count.records": Wording("{count}", {"count": _records}),
    "file.denied": Wording(mark("{name} may not be read: permission was denied.")),
    "file.distance_stood": Wording(
        mark("The distance in the file stands still while the positions move; it was measured along them.")
    ),
    "file.empty": Wording(mark("{name} is empty.")),
    "file.far": Wording(mark("{records} left out: the times span more than {days} days."), {"days": figure}),
    "file.folder": Wording(mark("{name} is a folder; choose a recording in it.")),
    "file.in_the_future": Wording(
        mark("The file is dated {date}, in the future: the device's clock was wrong."),
        {"date": "{:%Y-%m-%d}".format},
    ),
    "file.no_recording": Wording(mark("{name} is not a {formats} recording: it is {what}.")),
    "file.not_there": Wording(mark("There is no file {path}.")),
    "file.nothing_unpacked": Wording(mark("{name} is a gzip archive, but nothing in it could be unpacked.")),
    "file.packed_damaged": Wording(mark("The packed file is damaged; {count} bytes could be unpacked.")),
    "file.packed_twice": Wording(mark("{name} is packed twice; unpack it once and open it again.")),
    "file.too_large": Wording(
        mark("{name} is larger than {most}, too large for a recording."), {"most": _megabytes}
    ),
    "file.too_many": Wording(mark("The file holds more than {most} {things}, too many for a recording.")),
    "file.unpacks_too_large": Wording(
        mark("{name} unpacks to more than {most}, too large for a recording."), {"most": _megabytes}
    ),
    "file.unreadable": Wording(mark("{name} could not be read: {reason}.")),
    "file.untimed": Wording(mark("{records} without a time left out.")),
    "file.value_count": Wording(mark("{name} ({count})")),
    "file.values_left_out": Wording(mark("Values that cannot be were left out: {parts}.")),
    "ground.a_picture": Wording(mark("{name} holds a picture, not elevations.")),
    "ground.damaged": Wording(mark("{name} cannot be read as elevations: {reason}.")),
    "ground.damaged_tiles": Wording(mark("{name} is damaged, or no MBTiles file: {reason}.")),
    "ground.no_elevation": Wording(
        mark("{name} is no elevation file that can be read: HGT and GeoTIFF are.")
    ),
    "ground.no_pictures": Wording(
        mark("{name} holds tiles of the format {form}; only pictures can be shown.")
    ),
    "ground.no_place": Wording(mark("{name} does not say where on the ground it lies.")),
    "ground.no_square": Wording(
        mark("{name} does not say which square of the world it is; such files are called like N46E011.hgt.")
    ),
    "ground.no_tiles": Wording(mark("{name} is no MBTiles file.")),
    "ground.not_degrees": Wording(
        mark(
            "{name} is not laid out in degrees of latitude and longitude; save it so (EPSG:4326) with a "
            "program for maps first."
        )
    ),
    "ground.wrong_size": Wording(
        mark("{name} is damaged: {size} bytes are no square of 1201 or 3601 elevations a side.")
    ),
    "fit.check_sum": Wording(mark("The check sum does not match the content: some values may be damaged.")),
    "fit.clock_jumped": Wording(
        mark("The device's clock jumped: {records} with times that do not fit the others left out.")
    ),
    "fit.clock_not_set": Wording(
        mark("The device's clock was not set, so the date shown is not that of the outing.")
    ),
    "fit.course": Wording(mark("{name} is a FIT file with a planned course, not a recorded activity.")),
    "fit.damaged": Wording(
        mark(
            "The file is damaged: {unread} of {total} bytes could not be read; {kept} records before "
            "that were kept."
        )
    ),
    "fit.ends_early": Wording(
        mark(
            "The file ends early: {unread} of {total} bytes could not be read; {kept} records before "
            "that were kept."
        )
    ),
    "fit.few_records": Wording(
        mark("{name} is a FIT file with {records}; an activity needs {fewest} at different times.")
    ),
    "fit.no_activity": Wording(
        mark("{name} is a FIT file of type {kind} and holds no records of an activity.")
    ),
    "fit.no_check_sum": Wording(
        mark("The file ends without its check sum, so its values could not be checked against damage.")
    ),
    "fit.trailing_bytes": Wording(
        mark("{count} bytes behind the end of the recording are no FIT data; left out.")
    ),
    "format.names": Wording(mark("{names} or {last}")),
    "gpx.few_points": Wording(mark("{name} holds no track with {fewest} points at different times.")),
    "gpx.no_points": Wording(
        mark("{name} is a GPX file without track points, so there is no recording in it.")
    ),
    "gpx.route": Wording(
        mark("{name} holds {count} track points of which {timed} carry a time: a route, not a recording.")
    ),
    "many.activities": Wording(mark("activities")),
    "many.beats": Wording(mark("beats of the heart")),
    "many.definitions": Wording(mark("different definitions of messages")),
    "many.fit_files": Wording(mark("FIT files one behind another")),
    "many.laps": Wording(mark("laps")),
    "many.messages": Wording(mark("messages")),
    "many.other_messages": Wording(mark("events, laps and device notes")),
    "many.records": Wording(mark("records")),
    "many.route_points": Wording(mark("route points")),
    "many.track_points": Wording(mark("track points")),
    "many.tracks": Wording(mark("tracks")),
    "tcx.few_points": Wording(
        mark(
            "{name} is a TCX file with {activities} activities and {count} track points; a recording "
            "needs {fewest} points at different times."
        )
    ),
    "way.elevation_gaps": Wording(
        mark("{known} points carry no elevation; it is drawn straight across them.")
    ),
    "way.far_apart": Wording(
        mark(
            "Two neighbouring points lie {length} km apart; the way is drawn straight between them, "
            "and its real length and climbs there are unknown."
        ),
        {"length": TENTH},
    ),
    "way.little_elevation": Wording(
        mark(
            "Only {known} of {total} points carry an elevation, so the way is taken as level: climbs,"
            " times and heart rates on hills are not in the plan."
        )
    ),
    "way.misplaced": Wording(mark("{misplaced} points without a place on Earth were left out.")),
    "way.no_elevation": Wording(
        mark(
            "The file carries no elevation, so the way is taken as level: climbs, times and heart "
            "rates on hills are not in the plan."
        )
    ),
    "way.no_gpx": Wording(mark("A planned route is read from GPX; {name} is {what}.")),
    "way.no_points": Wording(mark("{name} holds no way to plan on: it has no route and no track points.")),
    "way.one_place": Wording(mark("{name} holds no way to plan on: all its points lie in one place.")),
    "way.too_long": Wording(
        mark(
            "A way in {name} is {distance} km long, more than the {most} km taken for one outing; it "
            "was not read."
        ),
        {"most": figure},
    ),
    "xml.breaks_off": Wording(
        mark("The file breaks off or is malformed at line {line}; what came before was kept.")
    ),
    "xml.encoding": Wording(mark("The file's text encoding is not supported; what could be read was kept.")),
    "xml.entities": Wording(
        mark(
            "{name} defines XML entities or refers to other files, which no recording needs and which"
            " can do harm; it was not read."
        )
    ),
    "xml.large_point": Wording(
        mark("The file holds a track point larger than {most} bytes; it was not read.")
    ),
    "xml.too_deep": Wording(mark("The file nests XML elements more than {most} deep; it was not read.")),
}
"""By key; ``many``, ``content`` and ``column`` are parts of sentences."""
