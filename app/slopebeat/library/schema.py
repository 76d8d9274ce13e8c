"""The tables of a library, as an ordered list of steps from nothing to the present version."""

from __future__ import annotations

APPLICATION_ID = 0x534C4250
"""Marks a database as a library of this program, the letters SLBP (``PRAGMA application_id``)."""

Migration = tuple[str, ...]
"""The statements that bring a library from one version to the next, carried out in one transaction."""

_FIRST: Migration = (
    """
    CREATE TABLE athlete (
        identity TEXT PRIMARY KEY,
        name TEXT NOT NULL UNIQUE,
        birth_year INTEGER,
        body_mass_kg REAL NOT NULL,
        bike_mass_kg REAL NOT NULL,
        sessions_per_week INTEGER,
        minutes_per_week REAL
    )""",
    """
    CREATE TABLE band_period (
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        ground TEXT NOT NULL,
        from_day TEXT NOT NULL,
        lower_bpm INTEGER NOT NULL,
        upper_bpm INTEGER NOT NULL,
        method TEXT NOT NULL,
        basis TEXT NOT NULL,
        how TEXT NOT NULL,
        details TEXT NOT NULL,
        PRIMARY KEY (athlete, ground, from_day)
    )""",
    # The files apart from the outings: lists of outings then read no file, and two activities of one
    # file keep it once.
    """
    CREATE TABLE content (
        hash TEXT PRIMARY KEY,
        size_bytes INTEGER NOT NULL,
        packed BLOB NOT NULL
    )""",
    """
    CREATE TABLE outing (
        identity TEXT PRIMARY KEY,
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        content_hash TEXT NOT NULL REFERENCES content,
        activity INTEGER NOT NULL,
        of_activities INTEGER NOT NULL,
        file_name TEXT NOT NULL,
        title TEXT NOT NULL,
        sport TEXT NOT NULL,
        on_bike INTEGER NOT NULL,
        start_us INTEGER NOT NULL,
        utc_offset_s REAL,
        load_kg REAL NOT NULL,
        load_until_s REAL,
        added_us INTEGER NOT NULL,
        UNIQUE (athlete, content_hash, activity)
    )""",
    "CREATE INDEX outing_start ON outing (athlete, start_us)",
    "CREATE INDEX outing_content ON outing (content_hash)",
    """
    CREATE TRIGGER content_unused AFTER DELETE ON outing BEGIN
        DELETE FROM content WHERE hash = OLD.content_hash
        AND NOT EXISTS (SELECT 1 FROM outing WHERE content_hash = OLD.content_hash);
    END""",
    # A second file of an outing already here: remembered, so that the next import passes it over unread.
    """
    CREATE TABLE duplicate (
        outing TEXT NOT NULL REFERENCES outing ON DELETE CASCADE,
        content_hash TEXT NOT NULL,
        activity INTEGER NOT NULL,
        of_activities INTEGER NOT NULL,
        PRIMARY KEY (outing, content_hash, activity)
    )""",
    "CREATE INDEX duplicate_content ON duplicate (content_hash)",
    """
    CREATE TABLE result (
        outing TEXT PRIMARY KEY REFERENCES outing ON DELETE CASCADE,
        version INTEGER NOT NULL,
        input_key TEXT NOT NULL,
        summary TEXT NOT NULL
    )""",
    """
    CREATE TABLE decided_marks (
        outing TEXT PRIMARY KEY REFERENCES outing ON DELETE CASCADE,
        marks TEXT NOT NULL
    )""",
    """
    CREATE TABLE note (
        identity TEXT PRIMARY KEY,
        outing TEXT NOT NULL REFERENCES outing ON DELETE CASCADE,
        time_us INTEGER NOT NULL,
        kind TEXT NOT NULL,
        author_role TEXT NOT NULL,
        text TEXT NOT NULL,
        value REAL,
        start_s REAL,
        end_s REAL,
        created_us INTEGER NOT NULL,
        changed_us INTEGER NOT NULL,
        deleted_us INTEGER
    )""",
    "CREATE INDEX note_outing ON note (outing, time_us)",
)

_EVIDENCE: Migration = (
    # What an outing teaches stands beside its result: both are computed from the file at once.
    "ALTER TABLE result ADD COLUMN evidence TEXT",
    "ALTER TABLE outing ADD COLUMN teaches INTEGER NOT NULL DEFAULT 1",
)

BASIS_FUNCTION = "basis_of_old"
"""The SQL function, of the four columns as bytes, that :mod:`slopebeat.library.migration` registers."""

_BASIS: Migration = (
    # Sentences become a key with numbers. Rebuilt, as columns cannot be dropped by every SQLite in use
    # (before 3.35, https://www.sqlite.org/changes.html).
    """
    CREATE TABLE new_band_period (
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        ground TEXT NOT NULL,
        from_day TEXT NOT NULL,
        lower_bpm INTEGER NOT NULL,
        upper_bpm INTEGER NOT NULL,
        method TEXT NOT NULL,
        basis TEXT NOT NULL,
        PRIMARY KEY (athlete, ground, from_day)
    )""",
    f"""
    INSERT INTO new_band_period
    SELECT athlete, ground, from_day, lower_bpm, upper_bpm, method, {BASIS_FUNCTION}(
        CAST(method AS BLOB), CAST(basis AS BLOB), CAST(how AS BLOB), CAST(details AS BLOB)
    ) FROM band_period""",
    "DROP TABLE band_period",
    "ALTER TABLE new_band_period RENAME TO band_period",
)

_NOTEBOOKS: Migration = (
    # What is written on recordings that are kept as no outing, by the content of the file and the number of
    # the activity in it.
    """
    CREATE TABLE notebook (
        content_hash TEXT NOT NULL,
        activity INTEGER NOT NULL,
        marks TEXT,
        load_kg REAL,
        load_until_s REAL,
        title TEXT,
        PRIMARY KEY (content_hash, activity)
    )""",
    """
    CREATE TABLE notebook_note (
        content_hash TEXT NOT NULL,
        activity INTEGER NOT NULL,
        identity TEXT NOT NULL,
        kind TEXT NOT NULL,
        author_role TEXT NOT NULL,
        text TEXT NOT NULL,
        value REAL,
        start_s REAL,
        end_s REAL,
        created_us INTEGER NOT NULL,
        changed_us INTEGER NOT NULL,
        deleted_us INTEGER,
        PRIMARY KEY (content_hash, activity, identity),
        FOREIGN KEY (content_hash, activity) REFERENCES notebook ON DELETE CASCADE
    )""",
    # The files of earlier versions that were taken in: none is taken in twice, or what was taken back since
    # would return.
    """
    CREATE TABLE taken_notebook (
        file_name TEXT NOT NULL,
        content_hash TEXT NOT NULL,
        PRIMARY KEY (file_name, content_hash)
    )""",
)

_GROUND: Migration = (
    # Where outings went, and the places they came through again; all of it is made from the files. What is
    # large stands last, so that lists read past it.
    """
    CREATE TABLE way (
        identity INTEGER PRIMARY KEY,
        outing TEXT NOT NULL UNIQUE REFERENCES outing ON DELETE CASCADE,
        searched INTEGER NOT NULL,
        points INTEGER NOT NULL,
        south_deg REAL,
        west_deg REAL,
        north_deg REAL,
        east_deg REAL,
        facts TEXT NOT NULL,
        line BLOB NOT NULL,
        along BLOB NOT NULL
    )""",
    # Apart from the lines: a search reads the cells of all outings, which are few bytes.
    """
    CREATE TABLE way_cells (
        way INTEGER PRIMARY KEY REFERENCES way ON DELETE CASCADE,
        cells BLOB NOT NULL
    )""",
    """
    CREATE TABLE place (
        identity INTEGER PRIMARY KEY,
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        kind TEXT NOT NULL,
        length_m REAL NOT NULL,
        gain_m REAL,
        cells BLOB NOT NULL,
        line BLOB NOT NULL
    )""",
    "CREATE INDEX place_athlete ON place (athlete)",
    """
    CREATE TABLE place_pass (
        place INTEGER NOT NULL REFERENCES place ON DELETE CASCADE,
        way INTEGER NOT NULL REFERENCES way ON DELETE CASCADE,
        first_point INTEGER NOT NULL,
        last_point INTEGER NOT NULL,
        figures TEXT NOT NULL,
        PRIMARY KEY (place, way, first_point)
    ) WITHOUT ROWID""",
    "CREATE INDEX place_pass_way ON place_pass (way)",
    # Nothing tells any more of ground whose last outing was removed.
    """
    CREATE TRIGGER place_unused AFTER DELETE ON place_pass BEGIN
        DELETE FROM place WHERE identity = OLD.place
        AND NOT EXISTS (SELECT 1 FROM place_pass WHERE place = OLD.place);
    END""",
)

_DATED: Migration = (
    # What the athlete's row holds goes on holding until the first of these does.
    """
    CREATE TABLE prescription (
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        from_day TEXT NOT NULL,
        minutes_per_week REAL,
        sessions_per_week INTEGER,
        most_above_minutes REAL,
        PRIMARY KEY (athlete, from_day)
    )""",
    """
    CREATE TABLE body_mass (
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        from_day TEXT NOT NULL,
        body_mass_kg REAL NOT NULL,
        PRIMARY KEY (athlete, from_day)
    )""",
    """
    CREATE TABLE phase (
        identity TEXT PRIMARY KEY,
        athlete TEXT NOT NULL REFERENCES athlete ON DELETE CASCADE,
        kind TEXT NOT NULL,
        first_day TEXT NOT NULL,
        last_day TEXT,
        text TEXT NOT NULL
    )""",
    "CREATE INDEX phase_of ON phase (athlete, first_day)",
    # When somebody last looked at the outing and ticked it off; notes of later are new.
    "ALTER TABLE outing ADD COLUMN reviewed_us INTEGER",
)

_DAYS: Migration = (
    # Whether the user said that a recording goes on where the one before it ended (1), or not (0); NULL where
    # nobody did, and time and place decide.
    "ALTER TABLE outing ADD COLUMN joined INTEGER",
    # Identity of the first part of the outing this recording is a part of; NULL where it is one by itself.
    # It is found again from the recordings at any time.
    "ALTER TABLE outing ADD COLUMN day TEXT",
    "CREATE INDEX outing_day ON outing (day)",
)

MIGRATIONS: tuple[Migration, ...] = (_FIRST, _EVIDENCE, _BASIS, _NOTEBOOKS, _GROUND, _DATED, _DAYS)
"""Item n leads from version n to version n + 1. Items are only ever added, never edited."""
