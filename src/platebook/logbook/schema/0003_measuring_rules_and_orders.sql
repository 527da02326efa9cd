-- What measured a seat, checks of measuring tools, rules of thumb that a setter chooses, and the log in
-- other orders than that of time. Tables that gain a column are made anew, because what follows from
-- the revisions stays behind what is recorded.
CREATE TABLE setter_with_rules (
  setter_id TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  "group" TEXT,
  active INTEGER,
  course TEXT,
  track TEXT,
  rules TEXT,
  note TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

INSERT INTO setter_with_rules
  (setter_id, name, "group", active, course, track, note, revision_id, hidden, clash)
SELECT
  setter_id, name, "group", active, course, track, note, revision_id, hidden, clash
FROM setter;

DROP TABLE setter;
ALTER TABLE setter_with_rules RENAME TO setter;

CREATE TABLE attempt_measured (
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
  seat_measured_with TEXT,
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

INSERT INTO attempt_measured
  (attempt_id, setter_id, began_us, began_offset_min, minutes, course, course_version, grade,
  exercise, kind, part, block, block_run, plate, position, stone_material, stone_lot,
  stone_diameter_um, stone_diameter_min_um, stone_diameter_max_um, stone_depth_um,
  stone_crown_um, stone_girdle, stone_uses, stone_checked, hand_cut, metal, metal_state,
  sheet_um, layers, backing, support, pilot_um, opening_bur_shape, opening_bur_um, seat_bur,
  seat_bur_shape, seat_bur_angle_deg, seat_bur_um, seat_bur_uses, runout, handpiece, speed_step,
  spindle_rpm, lubricant, punch, hammer_g, burnisher_tip_um, burnisher_polished, magnification,
  light, seat_method, fit_checks, fit, trial_height, ledge, seat_diameter_um, seat_go_um,
  seat_nogo_um, seat_depth_um, spindle_tilt_deg, levelled_by, effort, point_order,
  burnish_passes, readings_asked, push_test, table_height_mm, table_tilt_deg, ended, result,
  severity, first_seen, clock, rescued, after_cleanup, note, day_only, extra, revision_id,
  hidden, clash, order_us)
SELECT
  attempt_id, setter_id, began_us, began_offset_min, minutes, course, course_version, grade,
  exercise, kind, part, block, block_run, plate, position, stone_material, stone_lot,
  stone_diameter_um, stone_diameter_min_um, stone_diameter_max_um, stone_depth_um,
  stone_crown_um, stone_girdle, stone_uses, stone_checked, hand_cut, metal, metal_state,
  sheet_um, layers, backing, support, pilot_um, opening_bur_shape, opening_bur_um, seat_bur,
  seat_bur_shape, seat_bur_angle_deg, seat_bur_um, seat_bur_uses, runout, handpiece, speed_step,
  spindle_rpm, lubricant, punch, hammer_g, burnisher_tip_um, burnisher_polished, magnification,
  light, seat_method, fit_checks, fit, trial_height, ledge, seat_diameter_um, seat_go_um,
  seat_nogo_um, seat_depth_um, spindle_tilt_deg, levelled_by, effort, point_order,
  burnish_passes, readings_asked, push_test, table_height_mm, table_tilt_deg, ended, result,
  severity, first_seen, clock, rescued, after_cleanup, note, day_only, extra, revision_id,
  hidden, clash, order_us
FROM attempt;

DROP TABLE attempt;
ALTER TABLE attempt_measured RENAME TO attempt;

CREATE INDEX attempt_in_order
  ON attempt (order_us, attempt_id, result) WHERE hidden = 0;
CREATE INDEX attempt_by_setter
  ON attempt (setter_id, order_us, attempt_id, result) WHERE hidden = 0;
CREATE INDEX attempt_by_grade
  ON attempt (setter_id, grade, order_us, attempt_id, result) WHERE hidden = 0;

CREATE INDEX attempt_by_stone
  ON attempt (ifnull(stone_diameter_um, -1), order_us, attempt_id) WHERE hidden = 0;
CREATE INDEX attempt_by_setter_and_stone
  ON attempt (setter_id, ifnull(stone_diameter_um, -1), order_us, attempt_id) WHERE hidden = 0;
CREATE INDEX attempt_by_any_grade
  ON attempt (ifnull(grade, ''), order_us, attempt_id) WHERE hidden = 0;
CREATE INDEX attempt_by_setter_and_grade
  ON attempt (setter_id, ifnull(grade, ''), order_us, attempt_id) WHERE hidden = 0;

CREATE TABLE tool_check (
  check_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  tool_id TEXT NOT NULL,
  against TEXT,
  known_um INTEGER NOT NULL,
  known_uncertainty_um INTEGER,
  readings_mm TEXT NOT NULL,
  checked_us INTEGER,
  checked_offset_min INTEGER,
  note TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

CREATE INDEX tool_check_by_setter ON tool_check (setter_id, check_id);
