-- No crew in two places: checked at COMMIT, so that one hand-out may swap two
-- crews' visits. Views with proper timestamps are for people's own tools.
-- +goose Up
-- +goose NO TRANSACTION
CREATE EXTENSION IF NOT EXISTS btree_gist;
ALTER TABLE stops ADD CONSTRAINT stops_one_place EXCLUDE USING gist
  (crew_id WITH =, int8range(start_s, end_s) WITH &&) WHERE (live) DEFERRABLE INITIALLY DEFERRED;

CREATE VIEW stops_seen AS SELECT s.id, c.name AS crew, j.number AS job, v.kind, to_timestamp(s.start_s) AS starts,
  to_timestamp(s.end_s) AS ends, s.live FROM stops s
  JOIN crews c ON c.id = s.crew_id JOIN jobs j ON j.id = s.job_id JOIN visits v ON v.id = s.visit_id;
CREATE VIEW conversions_seen AS SELECT j.id, j.number, c.name AS customer, to_timestamp(j.converted_at) AS converted,
  j.value_cents FROM jobs j JOIN customers c ON c.id = j.customer_id WHERE j.converted_at IS NOT NULL;
CREATE VIEW notices_seen AS SELECT n.id, n.kind, n.state, n.address, to_timestamp(n.due_at) AS due,
  to_timestamp(n.sent_at) AS sent FROM notices n;
