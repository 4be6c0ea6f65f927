-- Who and what can go out: people, skills, crews, shifts, pumps, closures.
-- +goose Up
CREATE TABLE skills (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO skills (id, name) VALUES
  ('survey', 'survey'), ('pull', 'pulling cord'), ('licensed', 'licensed electrical work'),
  ('water', 'water and chemistry'), ('dig', 'digging and setting a base');

CREATE TABLE persons (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), name TEXT NOT NULL,
  user_id TEXT REFERENCES users (id), email TEXT NOT NULL, phone TEXT NOT NULL, active BOOLEAN NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX persons_branch ON persons (branch_id);
CREATE TABLE person_skills (
  person_id TEXT NOT NULL REFERENCES persons (id), skill_id TEXT NOT NULL REFERENCES skills (id),
  PRIMARY KEY (person_id, skill_id));

CREATE TABLE crews (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  home_id TEXT NOT NULL REFERENCES homes (id), name TEXT NOT NULL, place BIGINT NOT NULL,
  pump_berths BIGINT NOT NULL, active BOOLEAN NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (branch_id, name));
CREATE TABLE crew_people (
  crew_id TEXT NOT NULL REFERENCES crews (id), person_id TEXT NOT NULL REFERENCES persons (id),
  PRIMARY KEY (crew_id, person_id));
-- weekday 0 is Sunday; minutes from local midnight.
CREATE TABLE crew_shifts (
  crew_id TEXT NOT NULL REFERENCES crews (id), weekday BIGINT NOT NULL,
  from_minute BIGINT NOT NULL, to_minute BIGINT NOT NULL, overtime_minutes BIGINT NOT NULL,
  PRIMARY KEY (crew_id, weekday));

-- A person or a whole crew away; a crew's other hours on one day.
CREATE TABLE absences (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  crew_id TEXT REFERENCES crews (id), person_id TEXT REFERENCES persons (id),
  day TEXT NOT NULL, from_minute BIGINT NOT NULL, to_minute BIGINT NOT NULL, reason TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX absences_day ON absences (branch_id, day);

CREATE TABLE pumps (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  home_id TEXT NOT NULL REFERENCES homes (id), name TEXT NOT NULL, state TEXT NOT NULL,
  flow_ml_per_s BIGINT NOT NULL, note TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (branch_id, name));

-- kind: everything, area (postcode), site.
CREATE TABLE closures (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), kind TEXT NOT NULL,
  site_id TEXT REFERENCES sites (id), area TEXT NOT NULL,
  from_at BIGINT NOT NULL, to_at BIGINT NOT NULL, stops_pumping BOOLEAN NOT NULL, reason TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL);
CREATE INDEX closures_time ON closures (branch_id, from_at);

CREATE TABLE day_facts (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id), day TEXT NOT NULL,
  high_temp_mc BIGINT, rain_um BIGINT, ground_water TEXT NOT NULL, note TEXT NOT NULL,
  version BIGINT NOT NULL, created_at BIGINT NOT NULL, updated_at BIGINT NOT NULL,
  UNIQUE (branch_id, day));
