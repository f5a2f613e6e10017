-- Times are UTC in RFC 3339 with milliseconds. Keys of titles never change.
-- Places of findings are stable: they come from the cells around the place,
-- not from a line number.

CREATE TABLE settings (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) WITHOUT ROWID;

CREATE TABLE titles (
  id           INTEGER PRIMARY KEY,
  key          TEXT NOT NULL UNIQUE,
  location     TEXT NOT NULL UNIQUE,      -- where it was found: folder, zip, or folder and the beginning of the file names
  found_by     TEXT NOT NULL DEFAULT '',  -- name, folder, zip, title page
  sidecar      TEXT NOT NULL DEFAULT '',  -- path that title.toml and title.decisions.toml go beside
  state        TEXT NOT NULL DEFAULT 'new' CHECK (state IN ('new', 'ready', 'look', 'stop')),
  confidence   REAL NOT NULL DEFAULT 0,
  fault        TEXT NOT NULL DEFAULT '',  -- why there is no edition of these sources
  title        TEXT NOT NULL DEFAULT '',  -- in print
  title_cells  TEXT NOT NULL DEFAULT '',
  author       TEXT NOT NULL DEFAULT '',
  author_cells TEXT NOT NULL DEFAULT '',
  code         TEXT NOT NULL DEFAULT '',  -- UEB, SEB, EBAE, unknown
  contracted   INTEGER NOT NULL DEFAULT 0,
  capitals     INTEGER NOT NULL DEFAULT 0,
  code_sure    INTEGER NOT NULL DEFAULT 0,
  layout       TEXT NOT NULL DEFAULT '',  -- in words
  pages        INTEGER NOT NULL DEFAULT 0,
  bytes        INTEGER NOT NULL DEFAULT 0,
  fingerprint  TEXT NOT NULL DEFAULT '',  -- of sources, tool and settings
  content      TEXT NOT NULL DEFAULT '',  -- of the sources alone
  tool         TEXT NOT NULL DEFAULT '',
  added        TEXT NOT NULL DEFAULT '',
  made         TEXT NOT NULL DEFAULT '',  -- when the last run wrote this record
  gone         INTEGER NOT NULL DEFAULT 0 -- the sources are no longer there
);
CREATE INDEX titles_state ON titles (gone, state, confidence);
CREATE INDEX titles_title ON titles (title COLLATE NOCASE);
CREATE INDEX titles_author ON titles (author COLLATE NOCASE);
CREATE INDEX titles_made ON titles (made);
CREATE INDEX titles_content ON titles (content);

CREATE TABLE volumes (
  title_id    INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  position    INTEGER NOT NULL,           -- reading order, from 1
  number      INTEGER NOT NULL DEFAULT 0, -- as the volume says; 0 unknown
  of          INTEGER NOT NULL DEFAULT 0,
  prelim      INTEGER NOT NULL DEFAULT 0,
  name        TEXT NOT NULL,              -- as messages show it
  path        TEXT NOT NULL,              -- on disk; of a zip the zip's
  bytes       INTEGER NOT NULL,
  sha256      TEXT NOT NULL,
  encoding    TEXT NOT NULL DEFAULT '',
  width       INTEGER NOT NULL DEFAULT 0,
  height      INTEGER NOT NULL DEFAULT 0,
  pages       INTEGER NOT NULL DEFAULT 0,
  layout      TEXT NOT NULL DEFAULT '',   -- in words
  first_page  TEXT NOT NULL DEFAULT '',   -- braille page labels, in cells
  last_page   TEXT NOT NULL DEFAULT '',
  print_first TEXT NOT NULL DEFAULT '',
  print_last  TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (title_id, position)
) WITHOUT ROWID;
CREATE INDEX volumes_sha256 ON volumes (sha256);

-- Files on disk as they were when their bytes were read: what has the same size
-- and time is not read again.
CREATE TABLE files (
  path     TEXT PRIMARY KEY,
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  bytes    INTEGER NOT NULL,
  modified INTEGER NOT NULL,              -- nanoseconds since 1970
  seen     INTEGER NOT NULL,              -- when it was read
  sha256   TEXT NOT NULL
) WITHOUT ROWID;
CREATE INDEX files_title ON files (title_id);

CREATE TABLE passed_over (
  path     TEXT PRIMARY KEY,
  title_id INTEGER REFERENCES titles (id) ON DELETE CASCADE,
  why      TEXT NOT NULL
) WITHOUT ROWID;
CREATE INDEX passed_over_title ON passed_over (title_id);

-- Paths are relative to the folder of the catalogue, with slashes.
CREATE TABLE editions (
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  format   TEXT NOT NULL,                 -- brf, account, report; other formats
  path     TEXT NOT NULL,
  bytes    INTEGER NOT NULL,
  sha256   TEXT NOT NULL,
  modified INTEGER NOT NULL DEFAULT 0,    -- nanoseconds since 1970, as written
  PRIMARY KEY (title_id, format)
) WITHOUT ROWID;
CREATE UNIQUE INDEX editions_path ON editions (path);

-- Files that are about to be written: after a kill these bytes are ours.
CREATE TABLE pending (
  path     TEXT PRIMARY KEY,
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  sha256   TEXT NOT NULL
) WITHOUT ROWID;

CREATE TABLE findings (
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  place    TEXT NOT NULL DEFAULT '',      -- stable id of the place
  kind     TEXT NOT NULL,
  severity TEXT NOT NULL CHECK (severity IN ('note', 'look', 'stop')),
  file     TEXT NOT NULL DEFAULT '',
  page     INTEGER NOT NULL DEFAULT 0,
  line     INTEGER NOT NULL DEFAULT 0,
  text     TEXT NOT NULL,
  cells    TEXT NOT NULL DEFAULT '',
  print    TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (title_id, position)
) WITHOUT ROWID;
CREATE INDEX findings_kind ON findings (kind, severity);
CREATE INDEX findings_place ON findings (place);

-- Why a title has its state, the best reason first.
CREATE TABLE reasons (
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  kind     TEXT NOT NULL,
  text     TEXT NOT NULL,
  PRIMARY KEY (title_id, position)
) WITHOUT ROWID;

CREATE TABLE proofs (
  title_id    INTEGER PRIMARY KEY REFERENCES titles (id) ON DELETE CASCADE,
  proved      INTEGER NOT NULL,
  problems    INTEGER NOT NULL,
  first       TEXT NOT NULL DEFAULT '',   -- the first problems, a line each
  cells       INTEGER NOT NULL,           -- of the sources
  kept        INTEGER NOT NULL,
  moved       INTEGER NOT NULL,
  replaced    INTEGER NOT NULL,
  left_out    INTEGER NOT NULL,
  written     INTEGER NOT NULL,
  edition     TEXT NOT NULL,              -- sha256
  tool        TEXT NOT NULL,
  at          TEXT NOT NULL
);

CREATE TABLE figures (
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  name     TEXT NOT NULL,
  value    INTEGER NOT NULL,
  PRIMARY KEY (title_id, name)
) WITHOUT ROWID;

CREATE TABLE headings (
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  line     INTEGER NOT NULL,              -- of the edition, from 1
  level    INTEGER NOT NULL DEFAULT 0,
  cells    TEXT NOT NULL,
  print    TEXT NOT NULL,
  PRIMARY KEY (title_id, position)
) WITHOUT ROWID;

-- Metadata: what title.toml, the title page or a person says. A name may have
-- several values.
CREATE TABLE metadata (
  title_id INTEGER NOT NULL REFERENCES titles (id) ON DELETE CASCADE,
  name     TEXT NOT NULL,                 -- title, author, subject, language, isbn, publisher, ...
  position INTEGER NOT NULL DEFAULT 1,
  value    TEXT NOT NULL,
  origin   TEXT NOT NULL,                 -- title.toml, title page, person
  PRIMARY KEY (title_id, name, position)
) WITHOUT ROWID;
CREATE INDEX metadata_value ON metadata (name, value COLLATE NOCASE);

CREATE VIRTUAL TABLE search USING fts5 (title, author, headings, subject, tokenize = "unicode61 remove_diacritics 2", prefix = '2 3');

-- What persons decided. Nothing is deleted: what is taken back has undone set.
CREATE TABLE house_rules (
  id        INTEGER PRIMARY KEY,
  kind      TEXT NOT NULL,                -- of the finding
  applies   TEXT NOT NULL,                -- to which files, as the rule says
  choice    TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  note      TEXT NOT NULL DEFAULT '',
  undone    TEXT NOT NULL DEFAULT '',     -- when
  undone_by TEXT NOT NULL DEFAULT ''
);

CREATE TABLE decisions (
  id        INTEGER PRIMARY KEY,
  title_id  INTEGER NOT NULL REFERENCES titles (id),
  place     TEXT NOT NULL,
  kind      TEXT NOT NULL,
  choice    TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  note      TEXT NOT NULL DEFAULT '',
  rule_id   INTEGER REFERENCES house_rules (id),
  undone    TEXT NOT NULL DEFAULT '',
  undone_by TEXT NOT NULL DEFAULT ''
);
CREATE INDEX decisions_title ON decisions (title_id, place);
CREATE UNIQUE INDEX decisions_standing ON decisions (title_id, place) WHERE undone = '';

CREATE TABLE corrections (
  id        INTEGER PRIMARY KEY,
  title_id  INTEGER NOT NULL REFERENCES titles (id),
  place     TEXT NOT NULL,
  file      TEXT NOT NULL DEFAULT '',
  page      INTEGER NOT NULL DEFAULT 0,
  line      INTEGER NOT NULL DEFAULT 0,
  old_cells TEXT NOT NULL,
  new_cells TEXT NOT NULL,
  who       TEXT NOT NULL,
  at        TEXT NOT NULL,
  why       TEXT NOT NULL DEFAULT '',
  state     TEXT NOT NULL DEFAULT '',     -- applied, or why it was refused
  undone    TEXT NOT NULL DEFAULT '',
  undone_by TEXT NOT NULL DEFAULT ''
);
CREATE INDEX corrections_title ON corrections (title_id, place);

CREATE TABLE history (
  id       INTEGER PRIMARY KEY,
  title_id INTEGER REFERENCES titles (id),
  at       TEXT NOT NULL,
  who      TEXT NOT NULL,                 -- a person's name as given, or the tool
  what     TEXT NOT NULL,                 -- added, made, failed, gone, moved, decided, ...
  text     TEXT NOT NULL DEFAULT ''
);
CREATE INDEX history_title ON history (title_id);

CREATE TABLE runs (
  id        INTEGER PRIMARY KEY,
  started   TEXT NOT NULL,
  ended     TEXT NOT NULL DEFAULT '',     -- '' : stopped before its end
  tool      TEXT NOT NULL,
  titles    INTEGER NOT NULL DEFAULT 0,
  made      INTEGER NOT NULL DEFAULT 0,
  unchanged INTEGER NOT NULL DEFAULT 0,
  failed    INTEGER NOT NULL DEFAULT 0
);

-- Requests of readers: a reader code, never a name or an address.
CREATE TABLE requests (
  id       INTEGER PRIMARY KEY,
  reader   TEXT NOT NULL,
  title_id INTEGER REFERENCES titles (id),
  wanted   TEXT NOT NULL DEFAULT '',      -- as asked for
  format   TEXT NOT NULL DEFAULT '',
  wishes   TEXT NOT NULL DEFAULT '',      -- JSON
  due      TEXT NOT NULL DEFAULT '',      -- a date
  state    TEXT NOT NULL DEFAULT 'open',
  added    TEXT NOT NULL,
  changed  TEXT NOT NULL DEFAULT '',
  note     TEXT NOT NULL DEFAULT ''
);
CREATE INDEX requests_state ON requests (state, due);
CREATE INDEX requests_reader ON requests (reader);

CREATE TABLE cards (
  id     INTEGER PRIMARY KEY,
  name   TEXT NOT NULL,                   -- or path
  reader TEXT NOT NULL DEFAULT '',
  wishes TEXT NOT NULL DEFAULT '',        -- JSON
  built  TEXT NOT NULL
);

CREATE TABLE card_titles (
  card_id  INTEGER NOT NULL REFERENCES cards (id) ON DELETE CASCADE,
  title_id INTEGER NOT NULL REFERENCES titles (id),
  format   TEXT NOT NULL,
  path     TEXT NOT NULL,                 -- on the card
  bytes    INTEGER NOT NULL,
  sha256   TEXT NOT NULL,
  at       TEXT NOT NULL,
  PRIMARY KEY (card_id, title_id, format)
) WITHOUT ROWID;
