-- Plain SQL for both databases. Times are unix seconds UTC (..._at), versions
-- grow by one, ids are UUID text. Words with a fixed set stand in lookup
-- tables, so that a word more is an INSERT and not a rebuilt table.
-- A unique constraint keeps its default name (table_column_key): the store
-- finds the sentence for the person by it, on both databases.

-- +goose Up
CREATE TABLE roles (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO roles (id, name) VALUES
  ('owner', 'owner'), ('dispatcher', 'dispatcher'), ('tech', 'tech'), ('customer', 'customer'), ('system', 'the program');

CREATE TABLE contact_roles (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO contact_roles (id, name) VALUES
  ('payer', 'payer'), ('occupant', 'occupant'), ('owner', 'absent owner'), ('manager', 'manager'),
  ('gate', 'gate'), ('pool_care', 'pool care');

CREATE TABLE channels (id TEXT PRIMARY KEY, name TEXT NOT NULL);
INSERT INTO channels (id, name) VALUES
  ('email', 'e-mail'), ('sms', 'text message'), ('none', 'the office calls');

CREATE TABLE branches (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    zone TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at BIGINT NOT NULL,
    updated_at BIGINT NOT NULL
);

CREATE TABLE users (
    id TEXT PRIMARY KEY,
    branch_id TEXT NOT NULL REFERENCES branches (id),
    email TEXT NOT NULL,
    email_key TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL,
    role TEXT NOT NULL REFERENCES roles (id),
    password_hash TEXT NOT NULL,
    disabled BOOLEAN NOT NULL,
    epoch BIGINT NOT NULL,
    version BIGINT NOT NULL,
    created_at BIGINT NOT NULL,
    updated_at BIGINT NOT NULL
);

CREATE TABLE sessions (
    id TEXT PRIMARY KEY,
    user_id TEXT NOT NULL REFERENCES users (id),
    device TEXT NOT NULL,
    label TEXT NOT NULL,
    epoch BIGINT NOT NULL,
    created_at BIGINT NOT NULL,
    expires_at BIGINT NOT NULL,
    ended_at BIGINT,
    ended_why TEXT NOT NULL DEFAULT ''
);
CREATE INDEX sessions_user ON sessions (user_id);

CREATE TABLE refresh_tokens (
    hash TEXT PRIMARY KEY,
    session_id TEXT NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
    issued_at BIGINT NOT NULL,
    spent_at BIGINT
);
CREATE INDEX refresh_tokens_session ON refresh_tokens (session_id);

CREATE TABLE customers (
    id TEXT PRIMARY KEY,
    branch_id TEXT NOT NULL REFERENCES branches (id),
    name TEXT NOT NULL,
    name_key TEXT NOT NULL,
    note TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at BIGINT NOT NULL,
    updated_at BIGINT NOT NULL
);
CREATE INDEX customers_name ON customers (name_key, id);
CREATE INDEX customers_branch ON customers (branch_id, name_key, id);

-- notices: kinds of notice parted by blanks; NULL means the usual ones of the
-- role. phone is E.164, phone_text as it was entered.
CREATE TABLE contacts (
    id TEXT PRIMARY KEY,
    customer_id TEXT NOT NULL REFERENCES customers (id),
    role TEXT NOT NULL REFERENCES contact_roles (id),
    name TEXT NOT NULL,
    email TEXT NOT NULL,
    email_key TEXT NOT NULL,
    phone TEXT NOT NULL,
    phone_text TEXT NOT NULL,
    language TEXT NOT NULL,
    channel TEXT NOT NULL REFERENCES channels (id),
    may_decide BOOLEAN NOT NULL,
    notices TEXT,
    version BIGINT NOT NULL,
    created_at BIGINT NOT NULL,
    updated_at BIGINT NOT NULL
);
CREATE INDEX contacts_customer ON contacts (customer_id, created_at, id);
CREATE INDEX contacts_email ON contacts (email_key);
CREATE INDEX contacts_phone ON contacts (phone);

-- What an address said about being written to; the last row counts. It hangs
-- on the address, not on the contact, and outlives it.
CREATE TABLE consents (
    id TEXT PRIMARY KEY,
    channel TEXT NOT NULL REFERENCES channels (id),
    address_key TEXT NOT NULL,
    given BOOLEAN NOT NULL,
    how TEXT NOT NULL,
    said_at BIGINT NOT NULL
);
CREATE INDEX consents_address ON consents (channel, address_key, said_at);

CREATE TABLE audit (
    id TEXT PRIMARY KEY,
    at BIGINT NOT NULL,
    user_id TEXT,
    role TEXT NOT NULL REFERENCES roles (id),
    actor_name TEXT NOT NULL,
    link_id TEXT,
    act TEXT NOT NULL,
    noun TEXT NOT NULL,
    noun_id TEXT NOT NULL,
    version BIGINT NOT NULL,
    branch_id TEXT,
    note TEXT NOT NULL
);
CREATE INDEX audit_noun ON audit (noun, noun_id, at);
CREATE INDEX audit_at ON audit (at, id);

-- What an act with an idempotency key came to, written with its effect.
CREATE TABLE outcomes (
    actor TEXT NOT NULL,
    act TEXT NOT NULL,
    key TEXT NOT NULL,
    fingerprint TEXT NOT NULL,
    noun TEXT NOT NULL,
    noun_id TEXT NOT NULL,
    version BIGINT NOT NULL,
    note TEXT NOT NULL,
    made_at BIGINT NOT NULL,
    PRIMARY KEY (actor, act, key)
);
CREATE INDEX outcomes_made ON outcomes (made_at);
