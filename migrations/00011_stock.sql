-- What a part of a job is for, and where goods go that nobody needs any more.
-- +goose Up
INSERT INTO part_states (id, name, place) VALUES
  ('sent_back', 'sent back', 10), ('not_needed', 'not needed', 11);

-- line_key: the line of the estimate's materials; empty: listed by hand.
-- surplus: the newest estimate no longer asks for it.
ALTER TABLE job_parts ADD COLUMN line_key TEXT NOT NULL DEFAULT '';
ALTER TABLE job_parts ADD COLUMN surplus BOOLEAN NOT NULL DEFAULT FALSE;

-- light_key: the light, in the catalogue of the settings, that a set has.
ALTER TABLE parts ADD COLUMN light_key TEXT NOT NULL DEFAULT '';
