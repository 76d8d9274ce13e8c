"""Read bytes as the program would; anything but recordings or a sentence is a finding."""

from __future__ import annotations

import tempfile
from contextlib import ExitStack
from pathlib import Path

import numpy as np

from slopebeat.files.progress import Ticker
from slopebeat.files.reading import FORMATS, LOADED_SHARE
from slopebeat.files.source import unpacked
from slopebeat.files.xml.head import root_name
from slopebeat.model.bands import Band
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.people import Aim
from slopebeat.model.samples import COLUMNS
from slopebeat.review.imports.sources import find_sources
from slopebeat.review.outing import review_recording
from slopebeat.review.values import review_values

AIM = Aim(band=Band(112, 131))


def read_archive(data: bytes, *, review: bool = False) -> int:
    """Records of all that an archive holds, taken as an import takes it: out of a file."""
    refused: list[str] = []
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        path = Path(folder) / "fuzzed.zip"
        path.write_bytes(data)
        records = 0
        for source in find_sources([path], stack, lambda name, sentence: refused.append(sentence)):
            try:
                content = source.read()
            except UnreadableFile as refusal:
                refused.append(str(refusal))
            else:
                records += read_bytes(content, review=review)
    for sentence in refused:
        assert sentence.endswith("."), sentence
    return records


def read_bytes(data: bytes, *, review: bool = False) -> int:
    """Records read, 0 where the file is refused; with ``review`` the first recording is reviewed too.

    Raises
    ------
    AssertionError
        When a recording is not what every part of the program relies on.
    """
    ticker = Ticker(None).within(LOADED_SHARE, 1.0)
    try:
        source = unpacked("fuzzed.bin", data, ticker)
        root = root_name(source)
        for row in FORMATS:
            if row.matches(source.data, root):
                recordings = row.read(source, ticker)
                if review:
                    review_values(review_recording(recordings[0], AIM))
                return sum(_checked(recording) for recording in recordings)
    except UnreadableFile as refusal:
        sentence = str(refusal)
        assert sentence.endswith("."), sentence
        assert len(sentence) < 2000, "a refusal of more than a few sentences"
    return 0


def _checked(recording: object) -> int:
    samples = recording.samples  # type: ignore[attr-defined]
    t = samples["t_s"]
    assert tuple(samples.columns) == COLUMNS
    assert t[0] == 0.0
    assert np.all(np.diff(t) > 0.0)
    assert not np.isinf(samples.frame().to_numpy()).any()
    assert recording.start_utc.tzinfo is not None  # type: ignore[attr-defined]
    for start, end in recording.pauses:  # type: ignore[attr-defined]
        assert 0.0 <= start <= end <= t[-1]
    return len(samples)
