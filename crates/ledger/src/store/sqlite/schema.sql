-- Version 1. Once shipped, never changed: a new version is a new file.

-- Devices have a small number here, so that a slot is one integer.
CREATE TABLE device (
    no INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE
) STRICT;

-- The log. slot = no of the device * 2^40 + seq: what claims a slot that is held cannot be
-- written, and each device's records lie together in their order. Without a row id, because
-- beside one the slot would be a column of which SQLite heeds not every bit.
CREATE TABLE record (
    slot INTEGER PRIMARY KEY,
    id BLOB NOT NULL,
    at_ms INTEGER NOT NULL,
    author TEXT NOT NULL,
    subject TEXT NOT NULL,
    body TEXT NOT NULL,
    previous BLOB NOT NULL,
    hash BLOB NOT NULL
) STRICT, WITHOUT ROWID;

-- Records beside the log.
CREATE TABLE fork (
    hash BLOB PRIMARY KEY,
    device BLOB NOT NULL,
    seq INTEGER NOT NULL,
    id BLOB NOT NULL,
    at_ms INTEGER NOT NULL,
    author TEXT NOT NULL,
    subject TEXT NOT NULL,
    body TEXT NOT NULL,
    previous BLOB NOT NULL
) STRICT, WITHOUT ROWID;

-- All below is derived from the log, written in the same transaction, and compared with it
-- when the store is examined.
CREATE TABLE place (
    id BLOB PRIMARY KEY,
    slot INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE key (
    no INTEGER PRIMARY KEY,
    text TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE mention (
    key INTEGER NOT NULL REFERENCES key (no),
    slot INTEGER NOT NULL REFERENCES record (slot),
    PRIMARY KEY (key, slot)
) STRICT, WITHOUT ROWID;

-- Not records: see the module snapshot.
CREATE TABLE kept (
    name TEXT PRIMARY KEY,
    bytes BLOB NOT NULL
) STRICT;
