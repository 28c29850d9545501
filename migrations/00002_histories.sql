-- +goose Up

-- A phone that was copied or restored may leave two events in one place; both
-- are kept. What is a duplicate is known by its hash, before it gets here.
DROP INDEX event_place;

-- Since when this database is known to have less than it told: phones may bring
-- back what anyone counted; 0 for not.
ALTER TABLE session ADD COLUMN older_ms INTEGER NOT NULL DEFAULT 0;

-- Since when the office lets phones bring back what anyone wrote; 0 for not.
ALTER TABLE session ADD COLUMN refilled_ms INTEGER NOT NULL DEFAULT 0;

-- +goose Down
ALTER TABLE session DROP COLUMN refilled_ms;
ALTER TABLE session DROP COLUMN older_ms;
CREATE UNIQUE INDEX event_place ON event (session, replica, seq);
