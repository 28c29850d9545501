-- +goose Up

-- When events arrived: from the n-th on they came at at_ms (the server's clock)
-- or later. At most one row a second.
CREATE TABLE arrival (
    session INTEGER NOT NULL REFERENCES session (id),
    n       INTEGER NOT NULL,
    at_ms   INTEGER NOT NULL,
    PRIMARY KEY (session, n)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE arrival;
