-- Drafts, planning runs and what was handed out. A plan is written once; its
-- live rows (stops, tours, drains, promises) are what crews and customers
-- were told. Handing out first sets old rows not live, then writes the new.
-- +goose Up
CREATE TABLE plans (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), number BIGINT NOT NULL,
  first_day TEXT NOT NULL, days BIGINT NOT NULL, week TEXT NOT NULL, plan TEXT NOT NULL,
  cost_cents BIGINT NOT NULL, draft_id TEXT NOT NULL, handed_out_at BIGINT NOT NULL, handed_out_by TEXT NOT NULL,
  UNIQUE (branch_id, number));

-- state: new, planning, planned, handed_out, dropped.
CREATE TABLE drafts (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  first_day TEXT NOT NULL, days BIGINT NOT NULL, base_plan_number BIGINT NOT NULL,
  week TEXT NOT NULL, plan TEXT NOT NULL, kept_out TEXT NOT NULL, state TEXT NOT NULL, cost_cents BIGINT, left_out BIGINT,
  made_by TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX drafts_branch ON drafts (branch_id, state);

-- state: waiting, running, done, stopped, failed. A claim raises the fence;
-- leases are read from the database's own clock.
CREATE TABLE plan_runs (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  draft_id TEXT NOT NULL REFERENCES drafts (id), draft_version BIGINT NOT NULL, state TEXT NOT NULL,
  seed BIGINT NOT NULL, strands BIGINT NOT NULL, rounds BIGINT NOT NULL, seconds BIGINT NOT NULL,
  done_rounds BIGINT NOT NULL, best_cents BIGINT, placed BIGINT, left_out BIGINT, progress TEXT NOT NULL,
  stop_asked BOOLEAN NOT NULL, fence BIGINT NOT NULL, lease_until BIGINT NOT NULL, error TEXT NOT NULL,
  asked_by TEXT NOT NULL, created_at BIGINT NOT NULL, started_at BIGINT, ended_at BIGINT);
CREATE INDEX plan_runs_state ON plan_runs (state);
CREATE INDEX plan_runs_draft ON plan_runs (draft_id);

CREATE TABLE tours (
  id TEXT PRIMARY KEY, plan_id TEXT NOT NULL REFERENCES plans (id), branch_id TEXT NOT NULL,
  crew_id TEXT NOT NULL REFERENCES crews (id), day TEXT NOT NULL, depart_at BIGINT NOT NULL,
  return_at BIGINT NOT NULL, lunch_at BIGINT, lunch_seconds BIGINT NOT NULL, morning_pumps BIGINT NOT NULL,
  live BOOLEAN NOT NULL);
CREATE INDEX tours_day ON tours (branch_id, day);
CREATE UNIQUE INDEX tours_live ON tours (crew_id, day) WHERE live;

CREATE TABLE stops (
  id TEXT PRIMARY KEY, plan_id TEXT NOT NULL REFERENCES plans (id), branch_id TEXT NOT NULL,
  tour_id TEXT NOT NULL REFERENCES tours (id), crew_id TEXT NOT NULL REFERENCES crews (id),
  job_id TEXT NOT NULL REFERENCES jobs (id), visit_id TEXT NOT NULL REFERENCES visits (id),
  place BIGINT NOT NULL, arrive_at BIGINT NOT NULL, start_s BIGINT NOT NULL, end_s BIGINT NOT NULL,
  pumps_after BIGINT NOT NULL, live BOOLEAN NOT NULL);
CREATE INDEX stops_tour ON stops (tour_id, place);
CREATE INDEX stops_job ON stops (job_id);
CREATE UNIQUE INDEX stops_live ON stops (visit_id) WHERE live;

-- A pool's water as handed out: the told interval, when it may be and surely
-- is low, when it is covered again and the limit. Instants, unix seconds.
CREATE TABLE drains (
  id TEXT PRIMARY KEY, plan_id TEXT NOT NULL REFERENCES plans (id), branch_id TEXT NOT NULL,
  job_id TEXT NOT NULL REFERENCES jobs (id), way_low TEXT NOT NULL,
  told_from BIGINT, told_to BIGINT, low_early_at BIGINT, low_late_at BIGINT, covered_at BIGINT,
  limit_at BIGINT, live BOOLEAN NOT NULL);
CREATE UNIQUE INDEX drains_live ON drains (job_id) WHERE live;

-- The arrival window that a customer was told.
CREATE TABLE promises (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL, job_id TEXT NOT NULL REFERENCES jobs (id),
  visit_id TEXT NOT NULL REFERENCES visits (id), plan_id TEXT NOT NULL REFERENCES plans (id),
  from_at BIGINT NOT NULL, to_at BIGINT NOT NULL, answer TEXT NOT NULL, live BOOLEAN NOT NULL, created_at BIGINT NOT NULL);
CREATE UNIQUE INDEX promises_live ON promises (visit_id) WHERE live;
CREATE INDEX promises_job ON promises (job_id);
