-- +goose Up

-- One row: who this database is. A new database is a new epoch.
CREATE TABLE server (
    id       INTEGER PRIMARY KEY CHECK (id = 1),
    epoch    BLOB NOT NULL CHECK (length(epoch) = 16),
    replica  BLOB NOT NULL CHECK (length(replica) = 8),
    jwt_key  BLOB NOT NULL CHECK (length(jwt_key) = 32)
) STRICT;

-- One row a session. Room, case and times repeat what its events say, for lists.
CREATE TABLE session (
    id         INTEGER PRIMARY KEY,
    session    BLOB NOT NULL UNIQUE CHECK (length(session) = 16),
    room       TEXT NOT NULL,
    case_code  TEXT NOT NULL DEFAULT '',
    practice   INTEGER NOT NULL DEFAULT 0,
    created_ms INTEGER NOT NULL,
    opened_ms  INTEGER NOT NULL DEFAULT 0,
    ended_ms   INTEGER NOT NULL DEFAULT 0
) STRICT;

-- One row a replica that was let in: which phone it is, and the hash of the
-- secret with which that phone renews its token.
CREATE TABLE replica (
    session     INTEGER NOT NULL REFERENCES session (id),
    replica     BLOB NOT NULL CHECK (length(replica) = 8),
    phone       BLOB NOT NULL CHECK (length(phone) = 16),
    role        TEXT NOT NULL,
    secret_hash BLOB NOT NULL CHECK (length(secret_hash) = 32),
    enrolled_ms INTEGER NOT NULL,
    PRIMARY KEY (session, replica)
) STRICT, WITHOUT ROWID;

-- Every event, in the order of arrival: n counts from 1 in each session. The
-- body is the event; its hash is not stored, it is computed from the body.
CREATE TABLE event (
    session INTEGER NOT NULL REFERENCES session (id),
    n       INTEGER NOT NULL,
    replica BLOB NOT NULL CHECK (length(replica) = 8),
    seq     INTEGER NOT NULL,
    body    BLOB NOT NULL,
    PRIMARY KEY (session, n)
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX event_place ON event (session, replica, seq);

-- +goose Down
DROP TABLE event;
DROP TABLE replica;
DROP TABLE session;
DROP TABLE server;
