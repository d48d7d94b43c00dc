-- A store of version 3, as the sqlite3 shell dumps it, with the two pragmas that a dump leaves out.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE entries (
  id       INTEGER PRIMARY KEY,
  pot      TEXT    NOT NULL,
  action   TEXT    NOT NULL,
  happened INTEGER NOT NULL,
  learned  INTEGER NOT NULL,
  clock    TEXT    NOT NULL CHECK (clock IN ('board', 'phone', 'unknown')),
  author   TEXT    NOT NULL,
  note     TEXT    NOT NULL,
  round    TEXT    NOT NULL,
  strikes  INTEGER REFERENCES entries (id) CHECK (strikes < id)
) STRICT;
INSERT INTO entries VALUES(1,'7','added',1699743600,1784005200,'board','','','',NULL);
INSERT INTO entries VALUES(2,'7','watered',1784005200,1784005200,'board','Ane','','',NULL);
CREATE TABLE entry_values (
  entry INTEGER NOT NULL REFERENCES entries (id),
  name  TEXT    NOT NULL,
  value TEXT    NOT NULL,
  PRIMARY KEY (entry, name)
) STRICT, WITHOUT ROWID;
INSERT INTO entry_values VALUES(1,'bay','steps');
INSERT INTO entry_values VALUES(1,'container.size','40 L');
INSERT INTO entry_values VALUES(1,'tree.a.planted','2023-11-12');
INSERT INTO entry_values VALUES(1,'tree.a.species','apple');
INSERT INTO entry_values VALUES(1,'tree.a.vigour','dwarfing');
INSERT INTO entry_values VALUES(2,'amount_l','2.5');
CREATE TABLE series (
  id     INTEGER PRIMARY KEY,
  source TEXT    NOT NULL,
  issued INTEGER,
  member INTEGER NOT NULL
) STRICT;
INSERT INTO series VALUES(1,'by hand',NULL,0);
CREATE TABLE deliveries (
  id            INTEGER PRIMARY KEY,
  series        INTEGER NOT NULL REFERENCES series (id),
  rung          TEXT    NOT NULL CHECK (rung IN ('own_readings', 'published', 'by_hand', 'normals')),
  wind_height_m REAL    NOT NULL,
  learned       INTEGER NOT NULL
) STRICT;
INSERT INTO deliveries VALUES(1,1,'by_hand',2.0,1784005200);
CREATE TABLE readings (
  series   INTEGER NOT NULL,
  ends     INTEGER NOT NULL,
  span_s   INTEGER NOT NULL CHECK (span_s > 0),
  delivery INTEGER NOT NULL,
  air_temperature_mean_degC       REAL,
  air_temperature_max_degC        REAL,
  air_temperature_min_degC        REAL,
  dew_point_temperature_mean_degC REAL,
  wet_bulb_temperature_mean_degC  REAL,
  relative_humidity_mean_pct      REAL,
  relative_humidity_max_pct       REAL,
  relative_humidity_min_pct       REAL,
  wind_speed_mean_m_s             REAL,
  wind_speed_of_gust_max_m_s      REAL,
  surface_downwelling_shortwave_flux_in_air_mean_W_m2 REAL,
  duration_of_sunshine_sum_h      REAL,
  precipitation_amount_sum_mm     REAL,
  air_pressure_mean_kPa           REAL,
  PRIMARY KEY (series, ends, span_s, delivery)
) STRICT, WITHOUT ROWID;
INSERT INTO readings VALUES(1,1784066400,86400,1,NULL,31.0,17.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE documents (
  digest TEXT NOT NULL PRIMARY KEY,
  text   TEXT NOT NULL
) STRICT;
CREATE TABLE rounds (
  sequence      INTEGER PRIMARY KEY,
  id            TEXT    NOT NULL UNIQUE,
  day           TEXT    NOT NULL,
  walk          TEXT    NOT NULL,
  issued        INTEGER NOT NULL,
  learned       INTEGER NOT NULL,
  inputs_until  INTEGER NOT NULL,
  last_entry    INTEGER NOT NULL,
  last_delivery INTEGER NOT NULL,
  model         TEXT    NOT NULL,
  configuration TEXT    NOT NULL REFERENCES documents (digest),
  tables        TEXT    NOT NULL REFERENCES documents (digest),
  json          TEXT    NOT NULL
) STRICT;
CREATE TABLE answers (
  sequence INTEGER PRIMARY KEY,
  key      TEXT    NOT NULL UNIQUE,
  request  TEXT    NOT NULL,
  status   INTEGER NOT NULL,
  body     TEXT    NOT NULL
) STRICT;
CREATE TABLE tellings (
  sequence INTEGER PRIMARY KEY,
  channel  TEXT    NOT NULL,
  round    TEXT    NOT NULL,
  state    TEXT    NOT NULL CHECK (state IN ('waiting', 'going', 'told', 'unsure', 'given-up')),
  tries    INTEGER NOT NULL,
  changed  INTEGER NOT NULL,
  error    TEXT    NOT NULL,
  UNIQUE (channel, round)
) STRICT;
CREATE INDEX entries_pot ON entries (pot, id);
CREATE INDEX entries_learned ON entries (learned);
CREATE TRIGGER entries_stay_whole BEFORE UPDATE ON entries
BEGIN SELECT RAISE (ABORT, 'an entry is never changed: strike it with a later one'); END;
CREATE TRIGGER entries_stay BEFORE DELETE ON entries
BEGIN SELECT RAISE (ABORT, 'an entry is never erased: strike it with a later one'); END;
CREATE TRIGGER entry_values_stay_whole BEFORE UPDATE ON entry_values
BEGIN SELECT RAISE (ABORT, 'an entry is never changed: strike it with a later one'); END;
CREATE TRIGGER entry_values_stay BEFORE DELETE ON entry_values
BEGIN SELECT RAISE (ABORT, 'an entry is never erased: strike it with a later one'); END;
CREATE UNIQUE INDEX series_identity ON series (source, IFNULL (issued, -9223372036854775808), member);
CREATE INDEX deliveries_learned ON deliveries (learned);
CREATE INDEX deliveries_series ON deliveries (series, id);
CREATE INDEX rounds_walk ON rounds (day, walk, sequence);
CREATE INDEX rounds_learned ON rounds (learned);
CREATE INDEX tellings_state ON tellings (state, sequence);
COMMIT;
PRAGMA application_id = 1416979047;
PRAGMA user_version = 3;
