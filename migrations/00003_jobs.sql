-- Jobs from the first call to closed, with the facts that gate them.
-- +goose Up
CREATE TABLE job_states (id TEXT PRIMARY KEY, name TEXT NOT NULL, place BIGINT NOT NULL);
INSERT INTO job_states (id, name, place) VALUES
  ('enquiry', 'enquiry', 1), ('surveyed', 'surveyed', 2), ('quoted', 'quoted', 3),
  ('approved', 'approved', 4), ('ready', 'ready', 5), ('routed', 'routed', 6),
  ('under_way', 'under way', 7), ('made_safe', 'made safe', 8), ('converted', 'converted', 9),
  ('awaiting_inspection', 'awaiting inspection', 10), ('closed', 'closed', 11),
  ('parked', 'parked', 12), ('declined', 'declined', 13);

CREATE TABLE job_kinds (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO job_kinds (id, name) VALUES ('conversion', 'conversion'), ('call_back', 'call-back');

-- The kinds of visit are data: what each needs of the water and of people.
CREATE TABLE visit_kinds (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, place BIGINT NOT NULL,
  water TEXT NOT NULL, licensed BOOLEAN NOT NULL, default_seconds BIGINT NOT NULL);
INSERT INTO visit_kinds (id, name, place, water, licensed, default_seconds) VALUES
  ('survey', 'survey', 1, 'none', FALSE, 2700), ('prepare', 'prepare', 2, 'none', FALSE, 7200),
  ('circuit', 'circuit', 3, 'none', TRUE, 7200), ('drain', 'drain', 4, 'none', FALSE, 1800),
  ('convert', 'convert', 5, 'low', FALSE, 14400), ('connect', 'connect', 6, 'none', TRUE, 5400),
  ('inspect', 'inspect', 7, 'none', FALSE, 1800), ('commission', 'commission', 8, 'covered', FALSE, 3600),
  ('collect', 'collect', 9, 'none', FALSE, 900), ('call_back', 'call-back', 10, 'none', FALSE, 3600);

CREATE TABLE visit_states (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO visit_states (id, name) VALUES
  ('open', 'to be planned'), ('routed', 'handed out'), ('under_way', 'under way'),
  ('done', 'done'), ('wasted', 'came for nothing'), ('withdrawn', 'withdrawn');

CREATE TABLE jobs (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), number BIGINT NOT NULL,
  customer_id TEXT NOT NULL REFERENCES customers (id), site_id TEXT NOT NULL REFERENCES sites (id),
  kind TEXT NOT NULL REFERENCES job_kinds (id), state TEXT NOT NULL REFERENCES job_states (id),
  came_from TEXT NOT NULL, value_cents BIGINT, due_day TEXT NOT NULL, not_before_day TEXT NOT NULL,
  can_come_early BOOLEAN NOT NULL, way_low TEXT NOT NULL, note TEXT NOT NULL, import_key TEXT,
  low_decision TEXT NOT NULL, low_until BIGINT,
  converted_at BIGINT, closed_at BIGINT,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (branch_id, number), UNIQUE (branch_id, import_key));
CREATE INDEX jobs_state ON jobs (branch_id, state);
CREATE INDEX jobs_customer ON jobs (customer_id);
CREATE INDEX jobs_site ON jobs (site_id);

CREATE TABLE visits (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), place BIGINT NOT NULL,
  kind TEXT NOT NULL REFERENCES visit_kinds (id), state TEXT NOT NULL REFERENCES visit_states (id),
  seconds BIGINT, pin_day TEXT NOT NULL, pin_crew_id TEXT NOT NULL, pin_start BIGINT,
  begun_at BIGINT, done_at BIGINT, outcome TEXT NOT NULL, outcome_note TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX visits_job ON visits (job_id, place);
CREATE INDEX visits_state ON visits (state);

CREATE TABLE estimates (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), number BIGINT NOT NULL,
  survey_version BIGINT NOT NULL, settings_number BIGINT NOT NULL, body TEXT NOT NULL,
  median_seconds BIGINT, planning_seconds BIGINT, price_cents BIGINT,
  made_at BIGINT NOT NULL, made_by TEXT NOT NULL, UNIQUE (job_id, number));

CREATE TABLE quote_states (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO quote_states (id, name) VALUES
  ('draft', 'draft'), ('sent', 'sent'), ('approved', 'approved'), ('declined', 'declined'), ('replaced', 'replaced');

CREATE TABLE quotes (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), number BIGINT NOT NULL,
  estimate_id TEXT NOT NULL REFERENCES estimates (id), state TEXT NOT NULL REFERENCES quote_states (id),
  total_cents BIGINT NOT NULL, tax_cents BIGINT NOT NULL, deposit_cents BIGINT NOT NULL, body TEXT NOT NULL,
  valid_until_day TEXT NOT NULL, cancel_until_day TEXT NOT NULL,
  sent_at BIGINT, answered_at BIGINT, answered_by TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (job_id, number));

CREATE TABLE payments (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), kind TEXT NOT NULL,
  amount_cents BIGINT NOT NULL, method TEXT NOT NULL, note TEXT NOT NULL,
  received_at BIGINT NOT NULL, made_by TEXT NOT NULL);
CREATE INDEX payments_job ON payments (job_id);

-- needed: yes, no or not_known; who pulls it: us, customer, subcontractor.
CREATE TABLE permits (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL UNIQUE REFERENCES jobs (id), needed TEXT NOT NULL,
  pulled_by TEXT NOT NULL, number TEXT NOT NULL, applied_day TEXT NOT NULL, issued_day TEXT NOT NULL,
  expires_day TEXT NOT NULL, version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);

CREATE TABLE markings (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL UNIQUE REFERENCES jobs (id), ticket TEXT NOT NULL,
  soil_opened TEXT NOT NULL, lawful_from_day TEXT NOT NULL, expires_day TEXT NOT NULL,
  private_lines_marked BOOLEAN NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);

-- kind: drain_risk, shell, ground_water, site_rules. A sign-off is a fact with
-- a name and a time; it is withdrawn by another row, never changed.
CREATE TABLE sign_offs (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), kind TEXT NOT NULL,
  signed_by TEXT NOT NULL, signed_at BIGINT NOT NULL, least_water_um BIGINT, note TEXT NOT NULL,
  withdrawn BOOLEAN NOT NULL, made_by TEXT NOT NULL);
CREATE INDEX sign_offs_job ON sign_offs (job_id);

CREATE TABLE parts (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), code TEXT NOT NULL,
  name TEXT NOT NULL, stock_unit TEXT NOT NULL, length_um BIGINT, on_hand BIGINT NOT NULL,
  cost_cents BIGINT NOT NULL, price_cents BIGINT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (branch_id, code));

CREATE TABLE part_states (id TEXT PRIMARY KEY, name TEXT NOT NULL, place BIGINT NOT NULL);
INSERT INTO part_states (id, name, place) VALUES
  ('needed', 'needed', 1), ('ordered', 'ordered', 2), ('promised', 'promised', 3),
  ('back_ordered', 'back-ordered', 4), ('received', 'received', 5), ('reserved', 'reserved', 6),
  ('on_truck', 'on the truck', 7), ('used', 'used', 8), ('returned', 'returned', 9);

CREATE TABLE job_parts (
  id TEXT PRIMARY KEY, job_id TEXT NOT NULL REFERENCES jobs (id), part_id TEXT REFERENCES parts (id),
  name TEXT NOT NULL, quantity BIGINT NOT NULL, stock_unit TEXT NOT NULL,
  state TEXT NOT NULL REFERENCES part_states (id), promised_day TEXT NOT NULL, subject_id TEXT NOT NULL,
  note TEXT NOT NULL, version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX job_parts_job ON job_parts (job_id);
