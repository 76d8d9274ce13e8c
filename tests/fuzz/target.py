"""Read bytes as the program would; anything but recordings or a sentence is a finding."""

from __future__ import annotations

import numpy as np

from slopebeat.files.formats import FORMATS
from slopebeat.files.progress import Ticker
from slopebeat.files.reading import LOADED_SHARE
from slopebeat.files.source import unpacked
from slopebeat.files.xml.head import root_name
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.samples import COLUMNS


def read_bytes(data: bytes) -> int:
    """Records read, 0 where the file is refused.

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
                return sum(_checked(recording) for recording in row.read(source, ticker))
    except UnreadableFile as refusal:
        sentence = str(refusal)
        assert sentence.endswith("."), sentence
        assert len(sentence) < 2000, "a refusal of more than a few sentences"
    return 0


def _checked(recording: object) -> int:
    samples = recording.samples  # type: ignore[attr-defined]
    t = samples["t_s"].to_numpy()
    assert tuple(samples.columns) == COLUMNS
    assert t[0] == 0.0
    assert np.all(np.diff(t) > 0.0)
    assert not np.isinf(samples.to_numpy()).any()
    assert recording.start_utc.tzinfo is not None  # type: ignore[attr-defined]
    for start, end in recording.pauses:  # type: ignore[attr-defined]
        assert 0.0 <= start <= end <= t[-1]
    return len(samples)
