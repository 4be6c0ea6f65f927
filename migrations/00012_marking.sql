-- When the marking of buried lines was asked for, and in which state: the lawful
-- days follow from both.
-- +goose Up
ALTER TABLE markings ADD COLUMN requested_day TEXT NOT NULL DEFAULT '';
ALTER TABLE markings ADD COLUMN state TEXT NOT NULL DEFAULT '';
