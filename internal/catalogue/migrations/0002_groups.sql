-- A set of files that the title pages divided into several titles. Its key is
-- kept for it; the titles in it have locations that begin with its own and "#".
CREATE TABLE groups (
  location    TEXT PRIMARY KEY,
  key         TEXT NOT NULL UNIQUE,
  fingerprint TEXT NOT NULL
) WITHOUT ROWID;
