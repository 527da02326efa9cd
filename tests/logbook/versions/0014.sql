-- A logbook of schema 14 with a few records; frozen, never edited.
BEGIN TRANSACTION;
CREATE TABLE "_sqlite_migrations" (
   "id" INTEGER PRIMARY KEY,
   "migration_set" TEXT,
   "name" TEXT,
   "applied_at" TEXT
);
INSERT INTO "_sqlite_migrations" VALUES(1,'platebook','0001_the_record','2026-11-25 14:38:00.064695+00:00');
INSERT INTO "_sqlite_migrations" VALUES(2,'platebook','0002_plates_outline','2026-11-25 15:28:54.588484+00:00');
INSERT INTO "_sqlite_migrations" VALUES(3,'platebook','0003_measuring_rules_and_orders','2026-11-26 08:31:51.525996+00:00');
INSERT INTO "_sqlite_migrations" VALUES(4,'platebook','0004_draws_and_sign_offs','2026-11-26 12:53:43.915029+00:00');
INSERT INTO "_sqlite_migrations" VALUES(5,'platebook','0005_kinds_of_measuring_tools','2026-11-26 13:48:24.810511+00:00');
INSERT INTO "_sqlite_migrations" VALUES(6,'platebook','0006_block_levels','2026-11-28 17:10:27.057059+00:00');
INSERT INTO "_sqlite_migrations" VALUES(7,'platebook','0007_seeing_and_proposals','2026-11-28 17:13:52.493027+00:00');
INSERT INTO "_sqlite_migrations" VALUES(8,'platebook','0008_stone_hole_um_and_curve','2026-11-28 17:53:53.641269+00:00');
INSERT INTO "_sqlite_migrations" VALUES(9,'platebook','0009_teachers_and_classes','2026-11-28 20:34:47.501263+00:00');
INSERT INTO "_sqlite_migrations" VALUES(10,'platebook','0010_own_fields_and_sheet_answers','2026-11-28 20:51:51.882390+00:00');
INSERT INTO "_sqlite_migrations" VALUES(11,'platebook','0011_girdle_and_table','2026-11-28 20:59:06.876100+00:00');
INSERT INTO "_sqlite_migrations" VALUES(12,'platebook','0012_checksums','2026-11-28 21:42:06.780590+00:00');
INSERT INTO "_sqlite_migrations" VALUES(13,'platebook','0013_held_back_and_courses_in_force','2026-11-28 22:03:47.076897+00:00');
INSERT INTO "_sqlite_migrations" VALUES(14,'platebook','0014_signatures','2026-11-29 01:28:43.710129+00:00');
CREATE TABLE "attempt" (
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
, block_levels TEXT, proposed TEXT, seen TEXT, stone_hole_um INTEGER, curve TEXT, curve_radius_um INTEGER, stone_girdle_min_mm REAL, stone_girdle_max_mm REAL, stone_table_off_mm REAL) STRICT;
INSERT INTO "attempt" VALUES('019c24c4-c044-71f3-83e5-81f85713606a','019c2000-0000-7000-8000-000000000001',1770143400000000,0,NULL,NULL,NULL,'copper-1.5',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,1980,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'["loose"]',NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,'019c24c4-c04c-7cce-b63e-5f50c7203475',1,0,1770143400000000,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "attempt" VALUES('019c24c4-c044-720b-909b-b2d371d0ec21','019c2000-0000-7000-8000-000000000001',1770143460000000,0,NULL,NULL,NULL,'copper-2.0',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,1980,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'["good"]',NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,'019c24c4-c046-7c75-aa2a-00401a64eaba',0,0,1770143460000000,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "attempt" VALUES('019c24c4-c044-73c8-805b-7cd37814de4b','019c2000-0000-7000-8000-000000000001',1770143520000000,0,NULL,NULL,NULL,'copper-1.5',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,1980,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'["good"]',NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,'019c24c4-c046-7e20-bce8-3c75cd0a24b9',0,0,1770143520000000,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "attempt" VALUES('019c2000-0000-7000-8000-00000000000f','019c2000-0000-7000-8000-000000000001',1770154215250001,-180,0.1,'Überfang; "12" ''o',7,'Überfang; "12" ''o','Überfang; "12" ''o','not in the list','not in the list','Überfang; "12" ''o',7,'Überfang; "12" ''o','Überfang; "12" ''o','not in the list','Überfang; "12" ''o',1983,1983,1983,1983,1983,'not in the list',7,0,0,'not in the list','not in the list',1983,7,'not in the list','not in the list',1983,'not in the list',1983,'Überfang; "12" ''o','not in the list',0.1,1983,7,'not in the list','not in the list','not in the list',0.1,'not in the list','not in the list',0.1,1983,0,0.1,'not in the list','not in the list','not in the list','not in the list','not in the list','not in the list',1983,1983,1983,NULL,1983,0.1,'not in the list','not in the list','not in the list','not in the list',0,'not in the list',0.1,0.1,'not in the list','["loose"]','[2]','not in the list',7,'not in the list','["loose","off mark"]','Überfang; "12" ''o',1,'[["steadiness",3.5],["left hand",true],["mood","fine"]]','019c24c4-c04a-7213-9863-7bc02b166b74',0,0,1770154215250001,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE change (
  change_id TEXT NOT NULL PRIMARY KEY,
  replica TEXT NOT NULL,
  author TEXT NOT NULL,
  counter INTEGER NOT NULL CHECK (counter > 0),
  wall_us INTEGER NOT NULL,
  wall_offset_min INTEGER NOT NULL,
  what TEXT NOT NULL,
  reverts TEXT
, checksum TEXT) STRICT;
INSERT INTO "change" VALUES('019c24c4-c041-7d08-ab2b-79375ddd3657','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ottoline Marsh',1,1770143400000000,0,'add',NULL,'f6013cdb6d6a466ec8d9c6b60e520d24');
INSERT INTO "change" VALUES('019c24c4-c045-7b36-8486-2a8e0c053288','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ottoline Marsh',2,1770143400000000,0,'import',NULL,'e24b777be4abd3454bec4d455beb3037');
INSERT INTO "change" VALUES('019c24c4-c049-7fa1-b229-c1df00211bd9','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ottoline Marsh',3,1770143400000000,0,'record',NULL,'689b2a70b3bc9c6bb8f78bdda8770053');
INSERT INTO "change" VALUES('019c24c4-c04b-72dc-bb89-48d8e909d125','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ottoline Marsh',4,1770143400000000,0,'hide',NULL,'589820632fa9d6202f46a59e7726be4a');
INSERT INTO "change" VALUES('019c24c4-c04e-7888-af33-a69cead41517','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ottoline Marsh',5,1770143400000000,0,'add',NULL,'0ee4e5ba4157a7a421f91fdfa29f0883');
INSERT INTO "change" VALUES('019c24c4-c051-75c7-ae12-eac1e4e13a90','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ottoline Marsh',6,1770143400000000,0,'add',NULL,'63e4a3c703b0769ef378aae9d0aabc84');
INSERT INTO "change" VALUES('019c24c4-c054-790f-b1d8-ed82f9f2c409','a7d5c5ef-275c-4c88-a48f-857878b9d5e2','Ansel Reed',7,1770143400000000,0,'inspect',NULL,'e483cb812a616cba64c4bee7a1a64d7f');
CREATE TABLE class (
  class_id TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  begins TEXT,
  ends TEXT,
  course TEXT,
  evening TEXT,
  note TEXT,
  teachers TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE course_in_force (
  in_force_id TEXT NOT NULL PRIMARY KEY,
  course TEXT NOT NULL,
  version INTEGER NOT NULL,
  digest TEXT NOT NULL,
  taken_from TEXT,
  answered TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE course_text (
  digest TEXT NOT NULL PRIMARY KEY,
  course TEXT NOT NULL,
  version INTEGER NOT NULL,
  text TEXT NOT NULL
) STRICT;
INSERT INTO "course_text" VALUES('530e0744bcb5d819ed4f0b24d66d42ca9c09a0bc408c948c18029123ca8e5116','small to large',1,'id = "small to large"
');
CREATE TABLE default_value (
  name TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
INSERT INTO "default_value" VALUES('setter','019c2000-0000-7000-8000-000000000001');
INSERT INTO "default_value" VALUES('first text of course small to large','530e0744bcb5d819ed4f0b24d66d42ca9c09a0bc408c948c18029123ca8e5116');
CREATE TABLE draw (
  draw_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  attempt_id TEXT NOT NULL,
  pool TEXT NOT NULL,
  seed TEXT NOT NULL,
  drawn_us INTEGER,
  drawn_offset_min INTEGER,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE held_erasing (
  record_id TEXT NOT NULL PRIMARY KEY,
  kind TEXT NOT NULL,
  replica TEXT NOT NULL,
  erased_us INTEGER NOT NULL,
  kept INTEGER NOT NULL CHECK (kept IN (0, 1))
) STRICT;
CREATE TABLE held_signing (
  revision_id TEXT NOT NULL PRIMARY KEY,
  digest TEXT NOT NULL,
  kind TEXT NOT NULL,
  record_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  name TEXT NOT NULL,
  signer TEXT NOT NULL,
  signer_card TEXT NOT NULL,
  replica TEXT NOT NULL,
  refused INTEGER NOT NULL CHECK (refused IN (0, 1)),
  answer TEXT NOT NULL CHECK (answer IN ('', 'take', 'leave'))
) STRICT;
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
INSERT INTO "inspection" VALUES('019c24c4-c053-74e9-b0bb-976f23ee2b74','019c24c4-c044-720b-909b-b2d371d0ec21','Ansel Reed','["good"]',NULL,NULL,'',0,1770143400000000,0,'019c24c4-c055-7171-b359-d3f4ef75f7ad',0,0);
CREATE TABLE known_key (
  key TEXT NOT NULL,
  person_id TEXT NOT NULL,
  name TEXT NOT NULL,
  made_us INTEGER NOT NULL,
  signature TEXT NOT NULL,
  handed_by TEXT NOT NULL,
  hand_over TEXT NOT NULL,
  how TEXT NOT NULL CHECK (how IN ('here', 'first met', 'handed over', 'answered', 'start file')),
  since_us INTEGER NOT NULL,
  teaches_us INTEGER NOT NULL CHECK (teaches_us IN (0, 1)),
  PRIMARY KEY (person_id, key)
) STRICT, WITHOUT ROWID;
CREATE TABLE membership (
  membership_id TEXT NOT NULL PRIMARY KEY,
  class_id TEXT NOT NULL,
  setter_id TEXT NOT NULL,
  joined TEXT,
  "left" TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE message (
  message_id TEXT NOT NULL PRIMARY KEY,
  author TEXT NOT NULL,
  setter_id TEXT,
  class_id TEXT,
  text TEXT NOT NULL,
  written_us INTEGER,
  written_offset_min INTEGER,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE own_field (
  own_field_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  name TEXT NOT NULL,
  type TEXT NOT NULL,
  meaning TEXT,
  choices TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE "plate" (
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
  width_um INTEGER,
  height_um INTEGER,
  stones_mm TEXT,
  note TEXT,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
, verdicts TEXT) STRICT;
INSERT INTO "plate" VALUES('019c24c4-c050-730c-870f-0f3b707d1f65','019c2000-0000-7000-8000-000000000001','plate 1','copper',NULL,812,1,NULL,NULL,'["1","2"]',5,NULL,NULL,NULL,NULL,'','019c24c4-c052-724a-a863-4ff5d39ba0af',0,0,NULL);
CREATE TABLE replica (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  replica TEXT NOT NULL
) STRICT;
INSERT INTO "replica" VALUES(1,'a7d5c5ef-275c-4c88-a48f-857878b9d5e2');
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
, checksum TEXT) STRICT;
INSERT INTO "revision" VALUES('019c24c4-c042-74a6-aa59-059495fadcec','setter','019c2000-0000-7000-8000-000000000001','[]','019c24c4-c041-7d08-ab2b-79375ddd3657',1,1,0,'{"active":1,"group":"","name":"Ottoline Marsh","note":"","setter_id":"019c2000-0000-7000-8000-000000000001"}','c51811f6293967e5ff8ad3873b0b6bee');
INSERT INTO "revision" VALUES('019c24c4-c046-76eb-87e5-00ccc2209df0','attempt','019c24c4-c044-71f3-83e5-81f85713606a','[]','019c24c4-c045-7b36-8486-2a8e0c053288',2,1,0,'{"attempt_id":"019c24c4-c044-71f3-83e5-81f85713606a","began_offset_min":0,"began_us":1770143400000000,"day_only":0,"grade":"copper-1.5","result":"[\"loose\"]","setter_id":"019c2000-0000-7000-8000-000000000001","stone_diameter_um":1980}','b9b665e683f1a604be8ae18196e3255b');
INSERT INTO "revision" VALUES('019c24c4-c046-7c75-aa2a-00401a64eaba','attempt','019c24c4-c044-720b-909b-b2d371d0ec21','[]','019c24c4-c045-7b36-8486-2a8e0c053288',2,1,0,'{"attempt_id":"019c24c4-c044-720b-909b-b2d371d0ec21","began_offset_min":0,"began_us":1770143460000000,"day_only":0,"grade":"copper-2.0","result":"[\"good\"]","setter_id":"019c2000-0000-7000-8000-000000000001","stone_diameter_um":1980}','f170d4d7b7420d492cb48b4155954d15');
INSERT INTO "revision" VALUES('019c24c4-c046-7e20-bce8-3c75cd0a24b9','attempt','019c24c4-c044-73c8-805b-7cd37814de4b','[]','019c24c4-c045-7b36-8486-2a8e0c053288',2,1,0,'{"attempt_id":"019c24c4-c044-73c8-805b-7cd37814de4b","began_offset_min":0,"began_us":1770143520000000,"day_only":0,"grade":"copper-1.5","result":"[\"good\"]","setter_id":"019c2000-0000-7000-8000-000000000001","stone_diameter_um":1980}','6230a3fce4bbc41b03b1c1d74eeada85');
INSERT INTO "revision" VALUES('019c24c4-c04a-7213-9863-7bc02b166b74','attempt','019c2000-0000-7000-8000-00000000000f','[]','019c24c4-c049-7fa1-b229-c1df00211bd9',3,1,0,'{"after_cleanup":"[\"loose\",\"off mark\"]","attempt_id":"019c2000-0000-7000-8000-00000000000f","backing":"not in the list","began_offset_min":-180,"began_us":1770154215250001,"block":"Überfang; \"12\" ''o","block_run":7,"burnish_passes":"not in the list","burnisher_polished":0,"burnisher_tip_um":1983,"clock":7,"course":"Überfang; \"12\" ''o","course_version":7,"day_only":1,"effort":"not in the list","ended":"not in the list","exercise":"Überfang; \"12\" ''o","extra":"[[\"steadiness\",3.5],[\"left hand\",true],[\"mood\",\"fine\"]]","first_seen":"not in the list","fit":"not in the list","fit_checks":"not in the list","grade":"Überfang; \"12\" ''o","hammer_g":0.1,"hand_cut":0,"handpiece":"not in the list","kind":"not in the list","layers":7,"ledge":"not in the list","levelled_by":"not in the list","light":"not in the list","lubricant":"not in the list","magnification":0.1,"metal":"not in the list","metal_state":"not in the list","minutes":0.1,"note":"Überfang; \"12\" ''o","opening_bur_shape":"not in the list","opening_bur_um":1983,"part":"not in the list","pilot_um":1983,"plate":"Überfang; \"12\" ''o","point_order":"not in the list","position":"Überfang; \"12\" ''o","punch":"not in the list","push_test":"not in the list","readings_asked":0,"rescued":"not in the list","result":"[\"loose\"]","runout":"not in the list","seat_bur":"Überfang; \"12\" ''o","seat_bur_angle_deg":0.1,"seat_bur_shape":"not in the list","seat_bur_um":1983,"seat_bur_uses":7,"seat_depth_um":1983,"seat_diameter_um":1983,"seat_go_um":1983,"seat_method":"not in the list","seat_nogo_um":1983,"setter_id":"019c2000-0000-7000-8000-000000000001","severity":"[2]","sheet_um":1983,"speed_step":"not in the list","spindle_rpm":0.1,"spindle_tilt_deg":0.1,"stone_checked":0,"stone_crown_um":1983,"stone_depth_um":1983,"stone_diameter_max_um":1983,"stone_diameter_min_um":1983,"stone_diameter_um":1983,"stone_girdle":"not in the list","stone_lot":"Überfang; \"12\" ''o","stone_material":"not in the list","stone_uses":7,"support":"not in the list","table_height_mm":0.1,"table_tilt_deg":0.1,"trial_height":"not in the list"}','83051e7026ecbb28c30ef8236fc77574');
INSERT INTO "revision" VALUES('019c24c4-c04c-7cce-b63e-5f50c7203475','attempt','019c24c4-c044-71f3-83e5-81f85713606a','["019c24c4-c046-76eb-87e5-00ccc2209df0"]','019c24c4-c04b-72dc-bb89-48d8e909d125',4,1,1,'{"attempt_id":"019c24c4-c044-71f3-83e5-81f85713606a","began_offset_min":0,"began_us":1770143400000000,"day_only":0,"grade":"copper-1.5","result":"[\"loose\"]","setter_id":"019c2000-0000-7000-8000-000000000001","stone_diameter_um":1980}','f6cb50efd1a8114c2116cbd5af0c1fd0');
INSERT INTO "revision" VALUES('019c24c4-c04f-719f-b5f5-444fc9aeefcb','tool','019c24c4-c04d-7558-a0ff-de3d7a237190','[]','019c24c4-c04e-7888-af33-a69cead41517',5,1,0,'{"kind":"bur","name":"","note":"","seats_cut":0,"setter_id":"019c2000-0000-7000-8000-000000000001","shape":"hart","size_um":1900,"tool_id":"019c24c4-c04d-7558-a0ff-de3d7a237190"}','da8497d84cd9f29921c43f1665da82eb');
INSERT INTO "revision" VALUES('019c24c4-c052-724a-a863-4ff5d39ba0af','plate','019c24c4-c050-730c-870f-0f3b707d1f65','[]','019c24c4-c051-75c7-ae12-eac1e4e13a90',6,1,0,'{"across":5,"layers":1,"metal":"copper","name":"plate 1","note":"","plate_id":"019c24c4-c050-730c-870f-0f3b707d1f65","positions":"[\"1\",\"2\"]","setter_id":"019c2000-0000-7000-8000-000000000001","sheet_um":812}','67d72cadd30ff16651923f84dd5c0fd3');
INSERT INTO "revision" VALUES('019c24c4-c055-7171-b359-d3f4ef75f7ad','inspection','019c24c4-c053-74e9-b0bb-976f23ee2b74','[]','019c24c4-c054-790f-b1d8-ed82f9f2c409',7,1,0,'{"attempt_id":"019c24c4-c044-720b-909b-b2d371d0ec21","comment":"","drawn_at_random":0,"inspection_id":"019c24c4-c053-74e9-b0bb-976f23ee2b74","inspector":"Ansel Reed","looked_offset_min":0,"looked_us":1770143400000000,"result":"[\"good\"]"}','da33f08cd30193a1a566dacb273e9ef1');
CREATE TABLE second_copy (
  of_table TEXT NOT NULL,
  of_row TEXT NOT NULL,
  content TEXT NOT NULL,
  PRIMARY KEY (of_table, of_row)
) STRICT, WITHOUT ROWID;
INSERT INTO "second_copy" VALUES('course_text','530e0744bcb5d819ed4f0b24d66d42ca9c09a0bc408c948c18029123ca8e5116','small to large 1');
INSERT INTO "second_copy" VALUES('default_value','first text of course small to large','530e0744bcb5d819ed4f0b24d66d42ca9c09a0bc408c948c18029123ca8e5116');
INSERT INTO "second_copy" VALUES('default_value','setter','019c2000-0000-7000-8000-000000000001');
INSERT INTO "second_copy" VALUES('replica','1','a7d5c5ef-275c-4c88-a48f-857878b9d5e2');
CREATE TABLE "setter" (
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
, seats TEXT) STRICT;
INSERT INTO "setter" VALUES('019c2000-0000-7000-8000-000000000001','Ottoline Marsh','',1,NULL,NULL,NULL,'','019c24c4-c042-74a6-aa59-059495fadcec',0,0,NULL);
CREATE TABLE sheet_answers (
  sheet_answers_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  headings TEXT NOT NULL,
  answers TEXT NOT NULL,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE sign_off (
  sign_off_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  course TEXT NOT NULL,
  grade TEXT NOT NULL,
  signed_by TEXT NOT NULL,
  attempt_id TEXT,
  comment TEXT,
  signed_us INTEGER,
  signed_offset_min INTEGER,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE signature (
  of_id TEXT NOT NULL PRIMARY KEY,
  key TEXT NOT NULL,
  signature TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE tally (
  setter_id TEXT NOT NULL PRIMARY KEY,
  attempts INTEGER NOT NULL CHECK (attempts >= 0),
  digest TEXT NOT NULL
) STRICT;
INSERT INTO "tally" VALUES('019c2000-0000-7000-8000-000000000001',3,'019c24c4-c054-790f-b1d8-ed82f9f2c409');
CREATE TABLE teacher (
  teacher_id TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  setter_id TEXT,
  note TEXT,
  active INTEGER,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;
CREATE TABLE tombstone (
  record_id TEXT NOT NULL PRIMARY KEY,
  kind TEXT NOT NULL,
  replica TEXT NOT NULL,
  erased_us INTEGER NOT NULL
) STRICT;
CREATE TABLE "tool" (
  tool_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  kind TEXT NOT NULL,
  name TEXT,
  shape TEXT,
  measuring_kind TEXT,
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
INSERT INTO "tool" VALUES('019c24c4-c04d-7558-a0ff-de3d7a237190','019c2000-0000-7000-8000-000000000001','bur','','hart',NULL,1900,NULL,0,NULL,NULL,'','019c24c4-c04f-719f-b5f5-444fc9aeefcb',0,0);
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
CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"
    ON "_sqlite_migrations" ("migration_set", "name");
CREATE INDEX change_by_counter ON change (counter);
CREATE INDEX change_by_author ON change (replica, author, counter);
CREATE INDEX revision_by_record ON revision (kind, record_id, counter, revision_id);
CREATE INDEX revision_by_change ON revision (change_id);
CREATE INDEX inspection_by_attempt ON inspection (attempt_id, inspection_id);
CREATE INDEX course_text_by_course ON course_text (course, version);
CREATE INDEX plate_by_setter ON plate (setter_id, plate_id);
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
CREATE INDEX tool_check_by_setter ON tool_check (setter_id, check_id);
CREATE INDEX draw_by_setter ON draw (setter_id, draw_id);
CREATE INDEX sign_off_by_setter ON sign_off (setter_id, sign_off_id);
CREATE INDEX tool_by_setter ON tool (setter_id, tool_id);
CREATE INDEX teacher_by_setter ON teacher (setter_id);
CREATE INDEX membership_by_setter ON membership (setter_id, membership_id);
CREATE INDEX membership_by_class ON membership (class_id, membership_id);
CREATE INDEX message_by_setter ON message (setter_id, message_id);
CREATE INDEX message_by_class ON message (class_id, message_id);
CREATE INDEX own_field_by_setter ON own_field (setter_id, own_field_id);
CREATE INDEX sheet_answers_by_setter ON sheet_answers (setter_id, sheet_answers_id);
CREATE TRIGGER copy_new_replica AFTER INSERT ON replica BEGIN
  INSERT OR REPLACE INTO second_copy VALUES ('replica', new.only, new.replica);
END;
CREATE TRIGGER copy_replica AFTER UPDATE ON replica BEGIN
  INSERT OR REPLACE INTO second_copy VALUES ('replica', new.only, new.replica);
END;
CREATE TRIGGER copy_new_default AFTER INSERT ON default_value BEGIN
  INSERT OR REPLACE INTO second_copy VALUES ('default_value', new.name, new.value);
END;
CREATE TRIGGER copy_default AFTER UPDATE ON default_value BEGIN
  DELETE FROM second_copy WHERE of_table = 'default_value' AND of_row = old.name;
  INSERT OR REPLACE INTO second_copy VALUES ('default_value', new.name, new.value);
END;
CREATE TRIGGER forget_default AFTER DELETE ON default_value BEGIN
  DELETE FROM second_copy WHERE of_table = 'default_value' AND of_row = old.name;
END;
CREATE TRIGGER copy_new_tombstone AFTER INSERT ON tombstone BEGIN
  INSERT OR REPLACE INTO second_copy
  VALUES ('tombstone', new.record_id, new.kind || ' ' || new.replica || ' ' || new.erased_us);
END;
CREATE TRIGGER copy_new_course_text AFTER INSERT ON course_text BEGIN
  INSERT OR REPLACE INTO second_copy
  VALUES ('course_text', new.digest, new.course || ' ' || new.version);
END;
CREATE TRIGGER unsign_rewritten AFTER UPDATE OF record ON revision WHEN new.record <> old.record BEGIN
  DELETE FROM signature WHERE of_id = old.revision_id;
END;
CREATE TRIGGER unsign_gone AFTER DELETE ON revision BEGIN
  DELETE FROM signature WHERE of_id = old.revision_id;
END;
CREATE TRIGGER unsign_unnamed AFTER UPDATE OF author ON change WHEN new.author <> old.author BEGIN
  DELETE FROM signature
  WHERE of_id IN (SELECT revision_id FROM revision WHERE change_id = old.change_id);
END;
CREATE TRIGGER copy_new_key AFTER INSERT ON known_key BEGIN
  INSERT OR REPLACE INTO second_copy
  VALUES ('known_key', new.person_id || ' ' || new.key,
    new.how || ' ' || new.teaches_us || ' ' || new.name || ' ' || new.made_us || ' ' ||
    new.signature || ' ' || new.handed_by || ' ' || new.hand_over || ' ' || new.since_us);
END;
CREATE TRIGGER copy_key AFTER UPDATE ON known_key BEGIN
  DELETE FROM second_copy
  WHERE of_table = 'known_key' AND of_row = old.person_id || ' ' || old.key;
  INSERT OR REPLACE INTO second_copy
  VALUES ('known_key', new.person_id || ' ' || new.key,
    new.how || ' ' || new.teaches_us || ' ' || new.name || ' ' || new.made_us || ' ' ||
    new.signature || ' ' || new.handed_by || ' ' || new.hand_over || ' ' || new.since_us);
END;
CREATE TRIGGER forget_key AFTER DELETE ON known_key BEGIN
  DELETE FROM second_copy
  WHERE of_table = 'known_key' AND of_row = old.person_id || ' ' || old.key;
END;
COMMIT;
PRAGMA application_id = 1886151028;
PRAGMA user_version = 14;
