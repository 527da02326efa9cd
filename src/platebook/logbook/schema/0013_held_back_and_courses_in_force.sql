-- What others ask for and nobody here has answered yet: whom a bundle asks to erase.
CREATE TABLE held_erasing (
  record_id TEXT NOT NULL PRIMARY KEY,
  kind TEXT NOT NULL,
  replica TEXT NOT NULL,
  erased_us INTEGER NOT NULL,
  kept INTEGER NOT NULL CHECK (kept IN (0, 1))
) STRICT;

-- Which text of a course a logbook goes by, one record a logbook and course.
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

-- What a logbook went by so far stays in force: the latest version it keeps.
INSERT OR IGNORE INTO default_value (name, value)
SELECT 'first text of course ' || course, digest FROM course_text AS t
WHERE NOT EXISTS (SELECT 1 FROM course_text AS o
  WHERE o.course = t.course AND (o.version, o.digest) > (t.version, t.digest));

-- A program before this one kept such records as they came in bundles and had no rows for them.
CREATE TEMP TABLE kept AS
SELECT
  r.record_id, r.record AS j, r.revision_id, r.hidden,
  (SELECT count(*) FROM revision AS h WHERE h.kind = r.kind AND h.record_id = r.record_id
    AND NOT EXISTS (SELECT 1 FROM revision AS c, json_each(c.parents) AS p
      WHERE c.kind = h.kind AND c.record_id = h.record_id AND p.value = h.revision_id)) > 1 AS clash
FROM revision AS r
WHERE r.kind = 'course_in_force' AND json_valid(r.record) AND NOT EXISTS
  (SELECT 1 FROM revision AS l WHERE l.kind = r.kind AND l.record_id = r.record_id
    AND (l.counter, l.revision_id) > (r.counter, r.revision_id));

INSERT INTO course_in_force
SELECT
  record_id, j ->> '$.course', j ->> '$.version', j ->> '$.digest', j ->> '$.taken_from',
  j ->> '$.answered', revision_id, hidden, clash
FROM kept
WHERE json_type(j, '$.course') = 'text' AND json_type(j, '$.version') = 'integer'
  AND json_type(j, '$.digest') = 'text'
  AND ifnull(json_type(j, '$.taken_from'), 'text') = 'text'
  AND ifnull(json_type(j, '$.answered'), 'text') = 'text'
  AND json_valid(ifnull(j ->> '$.answered', '[]'));

DROP TABLE kept;
