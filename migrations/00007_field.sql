-- What was done at the pool. Every act of a phone is an operation with an id
-- the phone made: it is kept as a fact, applied once, never dropped.
-- +goose Up
CREATE TABLE field_steps (
  id TEXT PRIMARY KEY, visit_kind TEXT NOT NULL REFERENCES visit_kinds (id), place BIGINT NOT NULL,
  name TEXT NOT NULL, caution TEXT NOT NULL, gate BOOLEAN NOT NULL, needs TEXT NOT NULL, unit TEXT NOT NULL,
  low_limit BIGINT, high_limit BIGINT, source TEXT NOT NULL);

CREATE TABLE field_operations (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL, visit_id TEXT NOT NULL REFERENCES visits (id),
  job_id TEXT NOT NULL REFERENCES jobs (id), user_id TEXT NOT NULL, crew_id TEXT NOT NULL,
  kind TEXT NOT NULL, step_id TEXT NOT NULL, body TEXT NOT NULL, phone_at BIGINT NOT NULL,
  received_at BIGINT NOT NULL, flag TEXT NOT NULL);
CREATE INDEX field_operations_visit ON field_operations (visit_id);

CREATE TABLE field_records (
  visit_id TEXT PRIMARY KEY REFERENCES visits (id), job_id TEXT NOT NULL REFERENCES jobs (id),
  branch_id TEXT NOT NULL, crew_id TEXT NOT NULL, kind TEXT NOT NULL,
  arrived_at BIGINT, left_at BIGINT, planned_seconds BIGINT, median_seconds BIGINT, outcome TEXT NOT NULL, reason TEXT NOT NULL,
  lights_done BIGINT NOT NULL, promised_from BIGINT, promised_to BIGINT,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX field_records_branch ON field_records (branch_id, left_at);
CREATE INDEX field_records_job ON field_records (job_id);

CREATE TABLE fitted_items (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), visit_id TEXT NOT NULL REFERENCES visits (id),
  subject_id TEXT NOT NULL, part_id TEXT NOT NULL, serial TEXT NOT NULL, batch TEXT NOT NULL, at BIGINT NOT NULL);
CREATE INDEX fitted_items_job ON fitted_items (job_id);

CREATE TABLE extra_works (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), visit_id TEXT NOT NULL REFERENCES visits (id),
  name TEXT NOT NULL, amount_cents BIGINT NOT NULL, agreed_by TEXT NOT NULL, agreed_at BIGINT NOT NULL,
  state TEXT NOT NULL, approved_by TEXT NOT NULL, version BIGINT NOT NULL,
  created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX extra_works_job ON extra_works (job_id);

-- Photos live in SQL as base64 chunks: one backup holds everything and two
-- processes see the same bytes without a shared folder.
CREATE TABLE photos (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL, site_id TEXT REFERENCES sites (id),
  job_id TEXT REFERENCES jobs (id), visit_id TEXT REFERENCES visits (id), sha256 TEXT NOT NULL,
  media_type TEXT NOT NULL, bytes BIGINT NOT NULL, width BIGINT NOT NULL, height BIGINT NOT NULL,
  caption TEXT NOT NULL, taken_at BIGINT NOT NULL, made_by TEXT NOT NULL);
CREATE INDEX photos_job ON photos (job_id);
CREATE TABLE photo_chunks (
  photo_id TEXT NOT NULL REFERENCES photos (id), place BIGINT NOT NULL, data TEXT NOT NULL,
  PRIMARY KEY (photo_id, place));

CREATE TABLE imports (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), file_name TEXT NOT NULL,
  sha256 TEXT NOT NULL, kind TEXT NOT NULL, rows_read BIGINT NOT NULL, rows_new BIGINT NOT NULL,
  rows_known BIGINT NOT NULL, rows_refused BIGINT NOT NULL, report TEXT NOT NULL,
  made_at BIGINT NOT NULL, made_by TEXT NOT NULL);

-- By what a file calls a thing, so that reading it again brings nothing twice.
CREATE TABLE import_keys (
  branch_id TEXT NOT NULL REFERENCES branches (id), noun TEXT NOT NULL, key TEXT NOT NULL, noun_id TEXT NOT NULL,
  PRIMARY KEY (branch_id, noun, key));
