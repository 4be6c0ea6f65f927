-- The outbox. A notice is written in the transaction that made it due; the
-- relay only rings. thing is the stable name of what the notice is about
-- (so that a change of plan finds it again), revision its running number.
-- +goose Up
CREATE TABLE notice_kinds (id TEXT PRIMARY KEY, name TEXT NOT NULL, reader TEXT NOT NULL);
INSERT INTO notice_kinds (id, name, reader) VALUES
  ('quote', 'your quote', 'customer'), ('booking', 'your days', 'customer'),
  ('stop_chlorine', 'stop chlorinating', 'customer'), ('prep', 'lower the water', 'customer'),
  ('halfway', 'halfway reading', 'customer'), ('on_the_way', 'crew has left', 'customer'),
  ('late', 'running late', 'customer'), ('open_fill', 'open the fill', 'customer'),
  ('close_fill', 'close the fill', 'customer'), ('look_after', 'a day after', 'customer'),
  ('how_to_use', 'how to use the lights', 'customer'), ('withdrawn', 'day withdrawn', 'customer'),
  ('leave_alone', 'leave the pool alone', 'pool_care'), ('back_to_you', 'pool is back in your hands', 'pool_care'),
  ('crew_sheet', 'tomorrow''s sheet', 'crew'), ('office_unconfirmed', 'drain not confirmed', 'office'),
  ('office_fill', 'fill not closed', 'office'), ('office_bounced', 'message came back', 'office'),
  ('office_low', 'low without a crew', 'office');

CREATE TABLE notice_states (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO notice_states (id, name) VALUES
  ('due', 'due'), ('claimed', 'being sent'), ('handed_over', 'handed over'), ('sent', 'sent'),
  ('failed', 'failed'), ('superseded', 'replaced'), ('unknown', 'not known whether sent'),
  ('suppressed', 'not sent: opted out or too late');

CREATE TABLE notices (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL REFERENCES branches (id),
  job_id TEXT REFERENCES jobs (id), visit_id TEXT REFERENCES visits (id), plan_id TEXT REFERENCES plans (id),
  contact_id TEXT REFERENCES contacts (id), person_id TEXT REFERENCES persons (id),
  kind TEXT NOT NULL REFERENCES notice_kinds (id), thing TEXT NOT NULL, revision BIGINT NOT NULL,
  channel TEXT NOT NULL, address TEXT NOT NULL, language TEXT NOT NULL, zone TEXT NOT NULL,
  subject TEXT NOT NULL, body TEXT NOT NULL, facts TEXT NOT NULL,
  ical_uid TEXT NOT NULL, ical_sequence BIGINT NOT NULL, message_id TEXT NOT NULL,
  due_at BIGINT NOT NULL, useful_until BIGINT NOT NULL, state TEXT NOT NULL REFERENCES notice_states (id),
  fence BIGINT NOT NULL, attempts BIGINT NOT NULL, lease_until BIGINT NOT NULL, next_try_at BIGINT NOT NULL,
  rung_at BIGINT NOT NULL, sent_at BIGINT, file TEXT NOT NULL, error TEXT NOT NULL,
  superseded_by TEXT NOT NULL, created_at BIGINT NOT NULL,
  UNIQUE (thing, revision), UNIQUE (message_id));
CREATE INDEX notices_due ON notices (state, due_at);
CREATE INDEX notices_job ON notices (job_id);

-- purpose: quote, prep, window, fill. Only the hash of the secret is kept.
CREATE TABLE customer_links (
  id TEXT PRIMARY KEY, hash TEXT NOT NULL UNIQUE, purpose TEXT NOT NULL,
  branch_id TEXT NOT NULL, job_id TEXT NOT NULL REFERENCES jobs (id), contact_id TEXT NOT NULL REFERENCES contacts (id),
  quote_id TEXT REFERENCES quotes (id), expires_at BIGINT NOT NULL, used_at BIGINT, revoked_at BIGINT,
  created_at BIGINT NOT NULL);
CREATE INDEX customer_links_job ON customer_links (job_id);

-- What customers answered: drain started, reading, reached, window accepted,
-- declined, another asked for, fill opened, fill closed.
CREATE TABLE answers (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL, job_id TEXT NOT NULL REFERENCES jobs (id),
  contact_id TEXT REFERENCES contacts (id), link_id TEXT NOT NULL, kind TEXT NOT NULL,
  note TEXT NOT NULL, at BIGINT NOT NULL, made_by TEXT NOT NULL);
CREATE INDEX answers_job ON answers (job_id);

-- Inches below the tile line as whole micrometres.
CREATE TABLE water_readings (
  id TEXT PRIMARY KEY, branch_id TEXT NOT NULL, job_id TEXT NOT NULL REFERENCES jobs (id),
  subject_id TEXT REFERENCES survey_subjects (id), below_tile_um BIGINT NOT NULL, text TEXT NOT NULL,
  unit TEXT NOT NULL, at BIGINT NOT NULL, made_by TEXT NOT NULL, link_id TEXT NOT NULL, photo_id TEXT NOT NULL);
CREATE INDEX water_readings_job ON water_readings (job_id);
