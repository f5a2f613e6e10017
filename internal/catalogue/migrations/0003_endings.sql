-- How a volume ends: its last sign (cell, line, feed; empty when it was made before
-- this was noted), and whether it says that it or the book ends.
ALTER TABLE volumes ADD COLUMN final TEXT NOT NULL DEFAULT '';
ALTER TABLE volumes ADD COLUMN closing INTEGER NOT NULL DEFAULT 0;
