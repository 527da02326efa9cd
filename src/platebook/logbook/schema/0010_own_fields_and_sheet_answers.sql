-- Columns of a setter's own, and what they answered about their sheets: both are the setter's, travel
-- with them, and go with them.
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

CREATE INDEX own_field_by_setter ON own_field (setter_id, own_field_id);

CREATE TABLE sheet_answers (
  sheet_answers_id TEXT NOT NULL PRIMARY KEY,
  setter_id TEXT NOT NULL,
  headings TEXT NOT NULL,
  answers TEXT NOT NULL,
  revision_id TEXT NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1)),
  clash INTEGER NOT NULL CHECK (clash IN (0, 1))
) STRICT;

CREATE INDEX sheet_answers_by_setter ON sheet_answers (setter_id, sheet_answers_id);

-- A program before this one kept such records as they came in bundles and had no rows for them.
CREATE TEMP TABLE kept AS
SELECT
  r.kind, r.record_id, r.record AS j, r.revision_id, r.hidden,
  (SELECT count(*) FROM revision AS h WHERE h.kind = r.kind AND h.record_id = r.record_id
    AND NOT EXISTS (SELECT 1 FROM revision AS c, json_each(c.parents) AS p
      WHERE c.kind = h.kind AND c.record_id = h.record_id AND p.value = h.revision_id)) > 1 AS clash
FROM revision AS r
WHERE r.kind IN ('own_field', 'sheet_answers') AND json_valid(r.record) AND NOT EXISTS
  (SELECT 1 FROM revision AS l WHERE l.kind = r.kind AND l.record_id = r.record_id
    AND (l.counter, l.revision_id) > (r.counter, r.revision_id));

INSERT INTO own_field
SELECT
  record_id, j ->> '$.setter_id', j ->> '$.name', j ->> '$.type', j ->> '$.meaning',
  j ->> '$.choices', revision_id, hidden, clash
FROM kept
WHERE kind = 'own_field' AND json_type(j, '$.setter_id') = 'text'
  AND json_type(j, '$.name') = 'text'
  AND j ->> '$.type' IN ('text', 'integer', 'number', 'length', 'choice', 'yes/no')
  AND ifnull(json_type(j, '$.meaning'), 'text') = 'text'
  AND ifnull(json_type(j, '$.choices'), 'text') = 'text'
  AND json_valid(ifnull(j ->> '$.choices', '[]'));

INSERT INTO sheet_answers
SELECT
  record_id, j ->> '$.setter_id', j ->> '$.headings', j ->> '$.answers', revision_id, hidden, clash
FROM kept
WHERE kind = 'sheet_answers' AND json_type(j, '$.setter_id') = 'text'
  AND json_type(j, '$.headings') = 'text' AND json_type(j, '$.answers') = 'text';

DROP TABLE kept;
