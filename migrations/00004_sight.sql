-- +goose Up

-- How large a room's wall is and from how far it is read, in mm: what is written
-- on it must be large enough for both.
CREATE TABLE sight (
    room        TEXT PRIMARY KEY,
    diagonal_mm INTEGER NOT NULL,
    distance_mm INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE sight;
