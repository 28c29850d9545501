-- +goose Up

-- A phone that was copied or restored may leave two events in one place; both
-- are kept. What is a duplicate is known by its hash, before it gets here.
DROP INDEX event_place;

-- Since when phones may bring back what anyone wrote, because this database is
-- new or older than what it had told; 0 for not.
ALTER TABLE session ADD COLUMN refilled_ms INTEGER NOT NULL DEFAULT 0;

-- +goose Down
ALTER TABLE session DROP COLUMN refilled_ms;
CREATE UNIQUE INDEX event_place ON event (session, replica, seq);
