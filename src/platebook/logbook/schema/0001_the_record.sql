-- What happened: one row a command, and one row a record as that command left it.

CREATE TABLE replica (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  replica TEXT NOT NULL
) STRICT;

CREATE TABLE change (
  change_id TEXT NOT NULL PRIMARY KEY,
  replica TEXT NOT NULL,
  author TEXT NOT NULL,
  counter INTEGER NOT NULL CHECK (counter > 0),
  wall_us INTEGER NOT NULL,
  wall_offset_min INTEGER NOT NULL,
  what TEXT NOT NULL,
  reverts TEXT
) STRICT;

CREATE INDEX change_by_counter ON change (counter);
CREATE INDEX change_by_author ON change (replica, author, counter);

CREATE TABLE revision (
  revision_id TEXT NOT NULL PRIMARY KEY,
  kind TEXT NOT NULL,
  record_id TEXT NOT NULL,
  parents TEXT NOT NULL,
  change_id TEXT NOT NULL REFERENCES change (change_id),
  counter INTEGER NOT NULL,
  schema INTEGER NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  record TEXT NOT NULL
) STRICT;

CREATE INDEX revision_by_record ON revision (kind, record_id, counter, revision_id);
CREATE INDEX revision_by_change ON revision (change_id);

CREATE TABLE tombstone (
  record_id TEXT NOT NULL PRIMARY KEY,
  kind TEXT NOT NULL,
  replica TEXT NOT NULL,
  erased_us INTEGER NOT NULL
) STRICT;

-- What stands now: the current revision of every record, one table a kind.

CREATE TABLE setter (
  setter_id TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  "group" TEXT,
  active INTEGER,
  course TEXT,
  track TEXT,
  note TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

CREATE TABLE tool (
  tool_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  kind TEXT NOT NULL,
  name TEXT,
  shape TEXT,
  size_um INTEGER,
  angle_deg REAL,
  seats_cut INTEGER,
  resolution_um INTEGER,
  mpe_um INTEGER,
  note TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

CREATE INDEX tool_by_setter ON tool (setter_id, tool_id);

CREATE TABLE plate (
  plate_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  name TEXT NOT NULL,
  metal TEXT,
  metal_state TEXT,
  sheet_um INTEGER,
  layers INTEGER,
  backing TEXT,
  support TEXT,
  positions TEXT,
  across INTEGER,
  pitch_um INTEGER,
  note TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

CREATE INDEX plate_by_setter ON plate (setter_id, plate_id);

CREATE TABLE inspection (
  inspection_id TEXT NOT NULL PRIMARY KEY,
  attempt_id TEXT NOT NULL,
  inspector TEXT NOT NULL,
  result TEXT,
  severity TEXT,
  clock INTEGER,
  comment TEXT,
  drawn_at_random INTEGER,
  looked_us INTEGER,
  looked_offset_min INTEGER,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

CREATE INDEX inspection_by_attempt ON inspection (attempt_id, inspection_id);

CREATE TABLE attempt (
  attempt_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  began_us INTEGER,
  began_offset_min INTEGER,
  minutes REAL,
  course TEXT,
  course_version INTEGER,
  grade TEXT,
  exercise TEXT,
  kind TEXT,
  part TEXT,
  block TEXT,
  block_run INTEGER,
  plate TEXT,
  position TEXT,
  stone_material TEXT,
  stone_lot TEXT,
  stone_diameter_um INTEGER,
  stone_diameter_min_um INTEGER,
  stone_diameter_max_um INTEGER,
  stone_depth_um INTEGER,
  stone_crown_um INTEGER,
  stone_girdle TEXT,
  stone_uses INTEGER,
  stone_checked INTEGER,
  hand_cut INTEGER,
  metal TEXT,
  metal_state TEXT,
  sheet_um INTEGER,
  layers INTEGER,
  backing TEXT,
  support TEXT,
  pilot_um INTEGER,
  opening_bur_shape TEXT,
  opening_bur_um INTEGER,
  seat_bur TEXT,
  seat_bur_shape TEXT,
  seat_bur_angle_deg REAL,
  seat_bur_um INTEGER,
  seat_bur_uses INTEGER,
  runout TEXT,
  handpiece TEXT,
  speed_step TEXT,
  spindle_rpm REAL,
  lubricant TEXT,
  punch TEXT,
  hammer_g REAL,
  burnisher_tip_um INTEGER,
  burnisher_polished INTEGER,
  magnification REAL,
  light TEXT,
  seat_method TEXT,
  fit_checks TEXT,
  fit TEXT,
  trial_height TEXT,
  ledge TEXT,
  seat_diameter_um INTEGER,
  seat_go_um INTEGER,
  seat_nogo_um INTEGER,
  seat_depth_um INTEGER,
  spindle_tilt_deg REAL,
  levelled_by TEXT,
  effort TEXT,
  point_order TEXT,
  burnish_passes TEXT,
  readings_asked INTEGER,
  push_test TEXT,
  table_height_mm REAL,
  table_tilt_deg REAL,
  ended TEXT,
  result TEXT,
  severity TEXT,
  first_seen TEXT,
  clock INTEGER,
  rescued TEXT,
  after_cleanup TEXT,
  note TEXT,
  day_only INTEGER,
  extra TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1)),
  order_us INTEGER NOT NULL
) STRICT;

CREATE INDEX attempt_in_order
  ON attempt (order_us, attempt_id, result) WHERE hidden = 0;
CREATE INDEX attempt_by_setter
  ON attempt (setter_id, order_us, attempt_id, result) WHERE hidden = 0;
CREATE INDEX attempt_by_grade
  ON attempt (setter_id, grade, order_us, attempt_id, result) WHERE hidden = 0;

-- Kept beside the records: how many attempts a setter has and what their analyses were made from,
-- course texts by their digest, and what this logbook was told to take as given.

CREATE TABLE tally (
  setter_id TEXT NOT NULL PRIMARY KEY,
  attempts INTEGER NOT NULL CHECK (attempts >= 0),
  digest TEXT NOT NULL
) STRICT;

CREATE TABLE course_text (
  digest TEXT NOT NULL PRIMARY KEY,
  course TEXT NOT NULL,
  version INTEGER NOT NULL,
  text TEXT NOT NULL
) STRICT;

CREATE INDEX course_text_by_course ON course_text (course, version);

CREATE TABLE default_value (
  name TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
