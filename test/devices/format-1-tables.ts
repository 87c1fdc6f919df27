// The tables of a record of format 1, as its Fettle made them.

export const FORMAT_1_TABLES = `
  CREATE TABLE take (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    sitting TEXT NOT NULL,
    passage TEXT NOT NULL,
    date TEXT NOT NULL,
    entry TEXT NOT NULL,
    events BLOB NOT NULL
  );
  CREATE INDEX take_passage ON take (passage, id);
  CREATE INDEX take_sitting ON take (sitting, id);
  CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL);
  PRAGMA user_version = 1;`;
