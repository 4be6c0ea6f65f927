-- What the history of a job, the difference of notices and a tech's own days are
-- looked up by.
-- +goose Up
CREATE INDEX audit_noun_at ON audit (noun_id, at);
CREATE INDEX notices_branch_useful ON notices (branch_id, useful_until);
CREATE INDEX stops_visit ON stops (visit_id);
CREATE INDEX stops_crew_start ON stops (crew_id, start_s);
