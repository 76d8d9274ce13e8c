"""Decode a FIT file: find all messages, then take the records a column at a time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from slopebeat.files.fit.beats import beats_of
from slopebeat.files.fit.content import FitContent, Message
from slopebeat.files.fit.frame import FitFrame, problems
from slopebeat.files.fit.layout import MessageLayout
from slopebeat.files.fit.profile import message_names
from slopebeat.files.fit.values import MessageDecoder, NotCovered, RecordColumns
from slopebeat.files.fit.walk import ShortTimes, Walk, short_times, walk
from slopebeat.files.limits import MOST_KEPT_MESSAGES, MOST_RECORDS, too_many
from slopebeat.files.progress import Ticker

WALKED_SHARE = 0.5
"""Share of the progress while the messages are found; the records come all at once [project choice]."""

RECORDS, OTHER_MESSAGES = "many.records", "many.other_messages"
"""What is counted against a limit, as said when there is too much of it."""

_RECORDS_SHARE = 0.5
_TICK_EVERY_MESSAGES = 64


def decode_file(data: bytes, frame: FitFrame, ticker: Ticker) -> FitContent:
    """Everything of one FIT file that is read, up to the first damage, with a warning for the rest.

    Raises
    ------
    UnreadableFile
        When the file holds more messages than any recording.
    """
    walked = walk(data, frame.data_start, frame.data_end, ticker.within(0.0, WALKED_SHARE))
    beats = beats_of(np.frombuffer(data, dtype=np.uint8), walked.layouts)
    try:
        content = _taken(data, frame, walked, ticker.within(WALKED_SHARE, 1.0))
    except NotCovered:
        # Imported only here: nearly no file needs it, and fitparse takes a while to load.
        from slopebeat.files.fit.with_fitparse import decode_each

        content = decode_each(data, frame, ticker.within(WALKED_SHARE, 1.0))
    return replace(content, beats=beats)


def _taken(data: bytes, frame: FitFrame, walked: Walk, ticker: Ticker) -> FitContent:
    buffer = np.frombuffer(data, dtype=np.uint8)
    layouts = _by_name(walked)
    records = RecordColumns(buffer, layouts.pop("record", []))
    columns = records.fill()
    ticker.tick(_RECORDS_SHARE)
    times = short_times(buffer, walked.layouts)
    absent = np.isnan(columns["timestamp"])
    columns["timestamp"][absent] = times.of(records.starts)[absent]
    messages = _messages(data, layouts, times, ticker.within(_RECORDS_SHARE, 1.0))
    good_bytes = walked.good_end - frame.data_start
    warnings = problems(data, frame, good_bytes, records.starts.size, failed=walked.failed)
    return FitContent(columns, messages, warnings)


def _by_name(walked: Walk) -> dict[str, list[MessageLayout]]:
    """The layouts of messages that are read and occur.

    Raises
    ------
    UnreadableFile
        When there are more of them than any recording has.
    """
    names = message_names()
    layouts: dict[str, list[MessageLayout]] = {}
    counts = {RECORDS: 0, OTHER_MESSAGES: 0}
    most = {RECORDS: MOST_RECORDS, OTHER_MESSAGES: MOST_KEPT_MESSAGES}
    for layout in walked.layouts:
        name = names.get(layout.message)
        if name is not None and layout.starts:
            layouts.setdefault(name, []).append(layout)
            kind = RECORDS if name == "record" else OTHER_MESSAGES
            counts[kind] += len(layout.starts)
    for kind, count in counts.items():
        if count > most[kind]:
            raise too_many(kind, most[kind])
    return layouts


def _messages(
    data: bytes, layouts: dict[str, list[MessageLayout]], times: ShortTimes, ticker: Ticker
) -> tuple[Message, ...]:
    """The messages that are no records, in the order of the file."""
    found: list[tuple[int, MessageDecoder, float]] = []
    for name, of_name in layouts.items():
        for layout in of_name:
            decoder = MessageDecoder(name, layout)
            short = times.of(layout.start_indices).tolist()
            found += [(at, decoder, time) for at, time in zip(layout.starts, short, strict=True)]
    found.sort(key=lambda each: each[0])
    messages = []
    for count, (at, decoder, time) in enumerate(found):
        messages.append(decoder.decode(data, at, time))
        if count % _TICK_EVERY_MESSAGES == 0:
            ticker.tick(count / len(found))
    return tuple(messages)
