-- What is asked of a plan: windows held for callers, runs that mend or want a
-- rate of kept promises, and what a draft mends.
-- +goose Up
ALTER TABLE plan_runs ADD COLUMN mode TEXT NOT NULL DEFAULT 'plan';
ALTER TABLE plan_runs ADD COLUMN keep_permille BIGINT NOT NULL DEFAULT 0;
ALTER TABLE plan_runs ADD COLUMN kept_permille BIGINT;
ALTER TABLE plan_runs ADD COLUMN series TEXT NOT NULL DEFAULT '';
ALTER TABLE drafts ADD COLUMN upset TEXT NOT NULL DEFAULT '';

-- A window held for a caller, or booked. state: held, booked, released,
-- handed_out; a held one is over once until_at has come.
CREATE TABLE holds (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  job_id TEXT NOT NULL REFERENCES jobs (id), visit_id TEXT NOT NULL REFERENCES visits (id),
  crew_id TEXT NOT NULL REFERENCES crews (id), from_at BIGINT NOT NULL, to_at BIGINT NOT NULL, start_at BIGINT NOT NULL,
  until_at BIGINT NOT NULL, state TEXT NOT NULL, note TEXT NOT NULL, made_by TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX holds_branch ON holds (branch_id, state);
CREATE INDEX holds_job ON holds (job_id);
