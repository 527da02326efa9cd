-- Who teaches, the classes with their terms, who is in them, and words to a student or a class.
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

CREATE INDEX teacher_by_setter ON teacher (setter_id);

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

CREATE INDEX membership_by_setter ON membership (setter_id, membership_id);
CREATE INDEX membership_by_class ON membership (class_id, membership_id);

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

CREATE INDEX message_by_setter ON message (setter_id, message_id);
CREATE INDEX message_by_class ON message (class_id, message_id);

-- A program before this one kept such records as they came in bundles and had no rows for them.
CREATE TEMP TABLE kept AS
SELECT
  r.kind, r.record_id, r.record AS j, r.revision_id, r.hidden,
  (SELECT count(*) FROM revision AS h WHERE h.kind = r.kind AND h.record_id = r.record_id
    AND NOT EXISTS (SELECT 1 FROM revision AS c, json_each(c.parents) AS p
      WHERE c.kind = h.kind AND c.record_id = h.record_id AND p.value = h.revision_id)) > 1 AS clash
FROM revision AS r
WHERE r.kind IN ('teacher', 'class', 'membership', 'message') AND json_valid(r.record)
  AND NOT EXISTS (SELECT 1 FROM revision AS l WHERE l.kind = r.kind AND l.record_id = r.record_id
    AND (l.counter, l.revision_id) > (r.counter, r.revision_id));

INSERT INTO teacher
SELECT
  record_id, j ->> '$.name', j ->> '$.setter_id', j ->> '$.note', j ->> '$.active', revision_id,
  hidden, clash
FROM kept
WHERE kind = 'teacher'
  AND json_type(j, '$.name') = 'text'
  AND ifnull(json_type(j, '$.setter_id'), 'text') = 'text'
  AND ifnull(json_type(j, '$.note'), 'text') = 'text'
  AND ifnull(json_type(j, '$.active'), 'integer') = 'integer';

INSERT INTO class
SELECT
  record_id, j ->> '$.name', j ->> '$.begins', j ->> '$.ends', j ->> '$.course',
  j ->> '$.evening', j ->> '$.note', j ->> '$.teachers', revision_id, hidden, clash
FROM kept
WHERE kind = 'class'
  AND json_type(j, '$.name') = 'text'
  AND ifnull(json_type(j, '$.begins'), 'text') = 'text'
  AND ifnull(date(j ->> '$.begins') = j ->> '$.begins', j ->> '$.begins' IS NULL)
  AND ifnull(json_type(j, '$.ends'), 'text') = 'text'
  AND ifnull(date(j ->> '$.ends') = j ->> '$.ends', j ->> '$.ends' IS NULL)
  AND ifnull(json_type(j, '$.course'), 'text') = 'text'
  AND ifnull(json_type(j, '$.evening'), 'text') = 'text'
  AND ifnull(j ->> '$.evening', 'monday') IN
    ('monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday')
  AND ifnull(json_type(j, '$.note'), 'text') = 'text'
  AND ifnull(json_type(j, '$.teachers'), 'text') = 'text'
  AND json_valid(ifnull(j ->> '$.teachers', '[]'));

INSERT INTO membership
SELECT
  record_id, j ->> '$.class_id', j ->> '$.setter_id', j ->> '$.joined', j ->> '$.left',
  revision_id, hidden, clash
FROM kept
WHERE kind = 'membership'
  AND json_type(j, '$.class_id') = 'text'
  AND json_type(j, '$.setter_id') = 'text'
  AND ifnull(json_type(j, '$.joined'), 'text') = 'text'
  AND ifnull(date(j ->> '$.joined') = j ->> '$.joined', j ->> '$.joined' IS NULL)
  AND ifnull(json_type(j, '$.left'), 'text') = 'text'
  AND ifnull(date(j ->> '$.left') = j ->> '$.left', j ->> '$.left' IS NULL);

INSERT INTO message
SELECT
  record_id, j ->> '$.author', j ->> '$.setter_id', j ->> '$.class_id', j ->> '$.text',
  j ->> '$.written_us', j ->> '$.written_offset_min', revision_id, hidden, clash
FROM kept
WHERE kind = 'message'
  AND json_type(j, '$.author') = 'text'
  AND ifnull(json_type(j, '$.setter_id'), 'text') = 'text'
  AND ifnull(json_type(j, '$.class_id'), 'text') = 'text'
  AND json_type(j, '$.text') = 'text'
  AND ifnull(json_type(j, '$.written_us'), 'integer') = 'integer'
  AND ifnull(json_type(j, '$.written_offset_min'), 'integer') = 'integer';

DROP TABLE kept;
