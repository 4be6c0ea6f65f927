-- Sites and what is known of them. Every value of a survey is a row of its
-- own with how it is known; old rows stay (live false), so that a figure can
-- always be opened to where it came from.
-- +goose Up
CREATE TABLE precisions (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO precisions (id, name) VALUES
  ('pin', 'pin set by hand'), ('exact', 'house number'), ('street', 'street'),
  ('postcode', 'postcode centre'), ('unknown', 'not known yet');

CREATE TABLE homes (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  name TEXT NOT NULL, street TEXT NOT NULL, lat_e7 BIGINT NOT NULL, lon_e7 BIGINT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (branch_id, name));

CREATE TABLE settings (
  branch_id TEXT NOT NULL REFERENCES branches (id), number BIGINT NOT NULL,
  body TEXT NOT NULL, made_at BIGINT NOT NULL, made_by TEXT NOT NULL,
  PRIMARY KEY (branch_id, number));

CREATE TABLE sites (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  customer_id TEXT NOT NULL REFERENCES customers (id),
  name TEXT NOT NULL, street TEXT NOT NULL, city TEXT NOT NULL, region TEXT NOT NULL,
  postcode TEXT NOT NULL, search_key TEXT NOT NULL, zone TEXT NOT NULL,
  lat_e7 BIGINT, lon_e7 BIGINT, precision_id TEXT NOT NULL REFERENCES precisions (id),
  gate_code TEXT NOT NULL, gate_note TEXT NOT NULL, pets TEXT NOT NULL, vendor_pass TEXT NOT NULL,
  work_from_minute BIGINT, work_to_minute BIGINT,
  survey_version BIGINT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX sites_customer ON sites (customer_id);
CREATE INDEX sites_branch ON sites (branch_id, search_key);

CREATE TABLE subject_kinds (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO subject_kinds (id, name) VALUES
  ('site', 'the site'), ('body', 'body of water'), ('position', 'light position'),
  ('conduit', 'conduit'), ('supply', 'supply place'), ('illuminator', 'old illuminator'),
  ('equipment', 'equipment'), ('discharge', 'discharge'), ('refill', 'refill');

CREATE TABLE known_kinds (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO known_kinds (id, name) VALUES
  ('told', 'told'), ('read', 'read'), ('measured_wet', 'measured wet'), ('measured_dry', 'measured dry'),
  ('unknown', 'not known, reason in the note');

-- key is the short id by which the survey file itself names the subject.
CREATE TABLE survey_subjects (
  id TEXT PRIMARY KEY, site_id TEXT NOT NULL REFERENCES sites (id), key TEXT NOT NULL,
  kind TEXT NOT NULL REFERENCES subject_kinds (id), name TEXT NOT NULL,
  parent_id TEXT REFERENCES survey_subjects (id), place BIGINT NOT NULL, live BOOLEAN NOT NULL,
  created_at BIGINT NOT NULL, UNIQUE (site_id, key));
CREATE INDEX survey_subjects_site ON survey_subjects (site_id);

CREATE TABLE conduit_ends (
  conduit_id TEXT NOT NULL REFERENCES survey_subjects (id),
  subject_id TEXT NOT NULL REFERENCES survey_subjects (id), place BIGINT NOT NULL,
  PRIMARY KEY (conduit_id, subject_id));

CREATE TABLE survey_values (
  id TEXT PRIMARY KEY, site_id TEXT NOT NULL REFERENCES sites (id),
  subject_id TEXT NOT NULL REFERENCES survey_subjects (id), field TEXT NOT NULL,
  text TEXT NOT NULL, unit TEXT NOT NULL, base BIGINT,
  known TEXT NOT NULL REFERENCES known_kinds (id), note TEXT NOT NULL,
  at BIGINT NOT NULL, by_name TEXT NOT NULL, photo_id TEXT, live BOOLEAN NOT NULL);
CREATE INDEX survey_values_site ON survey_values (site_id);
CREATE UNIQUE INDEX survey_values_live ON survey_values (subject_id, field) WHERE live;

CREATE VIEW bodies AS SELECT id, site_id, name FROM survey_subjects WHERE kind = 'body' AND live;
CREATE VIEW light_positions AS
  SELECT id, site_id, parent_id AS body_id, name FROM survey_subjects WHERE kind = 'position' AND live;
CREATE VIEW conduits AS SELECT id, site_id, name FROM survey_subjects WHERE kind = 'conduit' AND live;
