-- +goose Up

-- One row a punch set-up that the clinic saved for itself. The fact is the map
-- of the event that puts it into a session, so that both obey the same rules.
CREATE TABLE setup (
    id         INTEGER PRIMARY KEY,
    name       TEXT NOT NULL,
    fact       BLOB NOT NULL,
    saved_ms   INTEGER NOT NULL,
    retired_ms INTEGER NOT NULL DEFAULT 0
) STRICT;

-- A name stands once among those in use; one that was retired gives it free.
CREATE UNIQUE INDEX setup_name ON setup (name COLLATE NOCASE) WHERE retired_ms = 0;

-- +goose Down
DROP TABLE setup;
