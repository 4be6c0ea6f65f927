-- No crew in two places. SQLite has no deferred check of this kind: handing
-- out sets the old rows not live before it writes the new, so a swap passes.
-- +goose Up
-- +goose StatementBegin
CREATE TRIGGER stops_one_place_insert BEFORE INSERT ON stops WHEN NEW.live AND NEW.end_s > NEW.start_s
BEGIN
  SELECT RAISE(ABORT, 'stops_one_place') WHERE EXISTS (
    SELECT 1 FROM stops o WHERE o.crew_id = NEW.crew_id AND o.live AND o.id <> NEW.id
      AND o.end_s > o.start_s AND o.start_s < NEW.end_s AND NEW.start_s < o.end_s);
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER stops_one_place_update BEFORE UPDATE OF crew_id, start_s, end_s, live ON stops
  WHEN NEW.live AND NEW.end_s > NEW.start_s
BEGIN
  SELECT RAISE(ABORT, 'stops_one_place') WHERE EXISTS (
    SELECT 1 FROM stops o WHERE o.crew_id = NEW.crew_id AND o.live AND o.id <> NEW.id
      AND o.end_s > o.start_s AND o.start_s < NEW.end_s AND NEW.start_s < o.end_s);
END;
-- +goose StatementEnd

CREATE VIEW stops_seen AS SELECT s.id, c.name AS crew, j.number AS job, v.kind, datetime(s.start_s, 'unixepoch') AS starts,
  datetime(s.end_s, 'unixepoch') AS ends, s.live FROM stops s
  JOIN crews c ON c.id = s.crew_id JOIN jobs j ON j.id = s.job_id JOIN visits v ON v.id = s.visit_id;
CREATE VIEW conversions_seen AS SELECT j.id, j.number, c.name AS customer, datetime(j.converted_at, 'unixepoch') AS converted,
  j.value_cents FROM jobs j JOIN customers c ON c.id = j.customer_id WHERE j.converted_at IS NOT NULL;
CREATE VIEW notices_seen AS SELECT n.id, n.kind, n.state, n.address, datetime(n.due_at, 'unixepoch') AS due,
  datetime(n.sent_at, 'unixepoch') AS sent FROM notices n;
