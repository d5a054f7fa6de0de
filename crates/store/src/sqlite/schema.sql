-- Format 1. The entry table is an ordinary rowid table on purpose: its rows lie in leaf pages that
-- a rescue can read without any index. An entry with the number of another is kept beside it.
CREATE TABLE farm (
    id BLOB NOT NULL PRIMARY KEY CHECK (length(id) = 16)
) STRICT;

CREATE TABLE entry (
    farm BLOB NOT NULL REFERENCES farm (id),
    device TEXT NOT NULL,
    number INTEGER NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    envelope BLOB NOT NULL,
    salt BLOB CHECK (salt IS NULL OR length(salt) = 16),
    note TEXT,
    PRIMARY KEY (farm, device, number, digest)
) STRICT;

CREATE TABLE attachment (
    farm BLOB NOT NULL REFERENCES farm (id),
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    bytes BLOB NOT NULL,
    PRIMARY KEY (farm, digest)
) STRICT;

CREATE TABLE person (
    farm BLOB NOT NULL REFERENCES farm (id),
    id TEXT NOT NULL,
    PRIMARY KEY (farm, id)
) STRICT;

CREATE TABLE person_line (
    farm BLOB NOT NULL,
    id TEXT NOT NULL,
    heading TEXT NOT NULL,
    line TEXT NOT NULL,
    PRIMARY KEY (farm, id, heading),
    FOREIGN KEY (farm, id) REFERENCES person (farm, id) ON DELETE CASCADE
) STRICT;

CREATE TABLE farm_setting (
    farm BLOB NOT NULL REFERENCES farm (id),
    key TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY (farm, key)
) STRICT;

CREATE TABLE device_setting (
    farm BLOB NOT NULL REFERENCES farm (id),
    key TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY (farm, key)
) STRICT;
