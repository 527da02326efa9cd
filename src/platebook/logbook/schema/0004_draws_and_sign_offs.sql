-- Which position was drawn at random for a look, and which grades an instructor signed off.
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

CREATE INDEX draw_by_setter ON draw (setter_id, draw_id);

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

CREATE INDEX sign_off_by_setter ON sign_off (setter_id, sign_off_id);

-- A program before this one kept such records as they came in bundles and had no rows for them.
CREATE TEMP TABLE kept AS
SELECT
  r.kind, r.record_id, r.record AS j, r.revision_id, r.hidden,
  (SELECT count(*) FROM revision AS h WHERE h.kind = r.kind AND h.record_id = r.record_id
    AND NOT EXISTS (SELECT 1 FROM revision AS c, json_each(c.parents) AS p
      WHERE c.kind = h.kind AND c.record_id = h.record_id AND p.value = h.revision_id)) > 1 AS clash
FROM revision AS r
WHERE r.kind IN ('draw', 'sign_off') AND json_valid(r.record) AND NOT EXISTS
  (SELECT 1 FROM revision AS l WHERE l.kind = r.kind AND l.record_id = r.record_id
    AND (l.counter, l.revision_id) > (r.counter, r.revision_id));

INSERT INTO draw
SELECT
  record_id, j ->> '$.setter_id', j ->> '$.attempt_id', j ->> '$.pool', j ->> '$.seed',
  j ->> '$.drawn_us', j ->> '$.drawn_offset_min', revision_id, hidden, clash
FROM kept
WHERE kind = 'draw' AND json_type(j, '$.setter_id') = 'text'
  AND json_type(j, '$.attempt_id') = 'text' AND json_type(j, '$.seed') = 'text'
  AND json_type(j, '$.pool') = 'text' AND json_valid(j ->> '$.pool')
  AND ifnull(json_type(j, '$.drawn_us'), 'integer') = 'integer'
  AND ifnull(json_type(j, '$.drawn_offset_min'), 'integer') = 'integer';

INSERT INTO sign_off
SELECT
  record_id, j ->> '$.setter_id', j ->> '$.course', j ->> '$.grade', j ->> '$.signed_by',
  j ->> '$.attempt_id', j ->> '$.comment', j ->> '$.signed_us', j ->> '$.signed_offset_min',
  revision_id, hidden, clash
FROM kept
WHERE kind = 'sign_off' AND json_type(j, '$.setter_id') = 'text'
  AND json_type(j, '$.course') = 'text' AND json_type(j, '$.grade') = 'text'
  AND json_type(j, '$.signed_by') = 'text'
  AND ifnull(json_type(j, '$.attempt_id'), 'text') = 'text'
  AND ifnull(json_type(j, '$.comment'), 'text') = 'text'
  AND ifnull(json_type(j, '$.signed_us'), 'integer') = 'integer'
  AND ifnull(json_type(j, '$.signed_offset_min'), 'integer') = 'integer';

DROP TABLE kept;
