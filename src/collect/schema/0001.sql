-- The first schema of the shelf. Released: never edited; what changes goes into a new file.
-- Keys are never given twice, so that what was taken away can be put back under its own.

-- One act of the user: everything that one call changed.
CREATE TABLE act (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    who TEXT NOT NULL,
    verb TEXT NOT NULL,
    about TEXT NOT NULL,
    undoes INTEGER REFERENCES act (seq),
    undone_by INTEGER REFERENCES act (seq)
) STRICT;

-- One row changed by an act: as it was and as it became, as JSON; NULL where there was none.
CREATE TABLE change (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    act INTEGER NOT NULL REFERENCES act (seq),
    tab TEXT NOT NULL,
    row INTEGER NOT NULL,
    before TEXT,
    after TEXT
) STRICT;
CREATE INDEX change_act ON change (act);
CREATE INDEX change_row ON change (tab, row);

-- Holdings and their fields.
CREATE TABLE land (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    folded TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL CHECK (kind IN ('holding', 'field')),
    parent INTEGER REFERENCES land (key),
    name TEXT NOT NULL,
    landuse TEXT,
    country TEXT,
    notes TEXT NOT NULL,
    created TEXT NOT NULL,
    changed TEXT NOT NULL
) STRICT;

-- People; their names and addresses go into nothing that is shared.
CREATE TABLE person (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    land INTEGER REFERENCES land (key),
    role TEXT NOT NULL CHECK (role IN ('owner', 'tenant', 'finder', 'officer')),
    name TEXT NOT NULL,
    contact TEXT
) STRICT;
CREATE INDEX person_land ON person (land);

-- Files kept beside the database by their digest.
CREATE TABLE file (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64),
    bytes INTEGER NOT NULL,
    media TEXT NOT NULL
) STRICT;

CREATE TABLE leave (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    land INTEGER NOT NULL REFERENCES land (key),
    given_by TEXT,
    from_day TEXT,
    to_day TEXT,
    terms TEXT,
    split TEXT,
    document TEXT REFERENCES file (digest),
    document_name TEXT
) STRICT;
CREATE INDEX leave_land ON leave (land);

CREATE TABLE boundary (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    land INTEGER NOT NULL REFERENCES land (key),
    form TEXT NOT NULL CHECK (form IN ('squares', 'geojson')),
    text TEXT NOT NULL
) STRICT;
CREATE INDEX boundary_land ON boundary (land);

CREATE TABLE restriction (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    land INTEGER NOT NULL REFERENCES land (key),
    kind TEXT NOT NULL,
    note TEXT,
    from_day TEXT,
    to_day TEXT
) STRICT;
CREATE INDEX restriction_land ON restriction (land);

-- What maps and earlier work show.
CREATE TABLE land_note (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    land INTEGER NOT NULL REFERENCES land (key),
    day TEXT,
    source TEXT,
    text TEXT NOT NULL
) STRICT;
CREATE INDEX land_note_land ON land_note (land);

CREATE TABLE search_day (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    land INTEGER NOT NULL REFERENCES land (key),
    day TEXT NOT NULL,
    hours REAL,
    who TEXT,
    text TEXT
) STRICT;
CREATE INDEX search_day_land ON search_day (land);

-- One find. `said` holds every trait as it was typed; the columns hold what is filtered by.
CREATE TABLE find (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    folded TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL CHECK (kind IN ('coin', 'artefact')),
    words TEXT NOT NULL,
    said TEXT NOT NULL,
    land INTEGER REFERENCES land (key),
    found_on TEXT,
    findspot TEXT,
    east INTEGER,
    north INTEGER,
    side_m INTEGER,
    within_m REAL,
    depth_cm REAL,
    metal TEXT,
    weight_g REAL,
    diameter_mm REAL,
    thickness_mm REAL,
    die_axis INTEGER,
    completeness TEXT,
    finder TEXT,
    grouped TEXT,
    status TEXT NOT NULL,
    storage TEXT,
    official_number TEXT,
    notes TEXT NOT NULL,
    created TEXT NOT NULL,
    changed TEXT NOT NULL
) STRICT;
CREATE INDEX find_land ON find (land);
CREATE INDEX find_found ON find (found_on);
CREATE INDEX find_status ON find (status);
CREATE INDEX find_metal ON find (metal);
CREATE INDEX find_grouped ON find (grouped);
CREATE INDEX find_storage ON find (storage);

-- Where a find went and when; the last one is the find's own status.
CREATE TABLE whereabouts (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    find INTEGER NOT NULL REFERENCES find (key),
    status TEXT NOT NULL,
    day TEXT,
    note TEXT
) STRICT;
CREATE INDEX whereabouts_find ON whereabouts (find);

CREATE TABLE identification (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    find INTEGER NOT NULL REFERENCES find (key),
    made_at TEXT NOT NULL,
    library TEXT,
    version TEXT,
    period TEXT,
    ruler TEXT,
    denomination TEXT,
    series TEXT,
    type_id TEXT,
    class TEXT,
    level TEXT,
    text TEXT NOT NULL,
    share REAL,
    from_year INTEGER,
    to_year INTEGER,
    answer TEXT,
    confirmed_by TEXT CHECK (confirmed_by IN ('self', 'officer', 'book')),
    reference TEXT,
    confirmed_on TEXT,
    standing TEXT NOT NULL CHECK (standing IN ('current', 'earlier'))
) STRICT;
CREATE INDEX identification_find ON identification (find, standing);
CREATE INDEX identification_period ON identification (period, standing);
CREATE INDEX identification_ruler ON identification (ruler, standing);
CREATE INDEX identification_denomination ON identification (denomination, standing);
CREATE INDEX identification_type ON identification (type_id, standing);

CREATE TABLE photograph (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    find INTEGER NOT NULL REFERENCES find (key),
    place INTEGER NOT NULL,
    view TEXT,
    digest TEXT NOT NULL REFERENCES file (digest),
    name TEXT NOT NULL,
    taken TEXT,
    width INTEGER NOT NULL,
    height INTEGER NOT NULL,
    bytes INTEGER NOT NULL,
    UNIQUE (find, digest)
) STRICT;
CREATE INDEX photograph_digest ON photograph (digest);

CREATE TABLE tag (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    find INTEGER NOT NULL REFERENCES find (key),
    tag TEXT NOT NULL,
    UNIQUE (find, tag)
) STRICT;
CREATE INDEX tag_tag ON tag (tag);

-- How the columns of a table of the user's go to fields, kept for next time.
CREATE TABLE mapping (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL UNIQUE,
    columns TEXT NOT NULL
) STRICT;

CREATE TABLE setting (
    key INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL UNIQUE,
    value TEXT NOT NULL
) STRICT;
