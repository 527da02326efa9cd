-- What kind of measuring tool a tool is. The table is made anew because what follows from the revisions
-- stays behind what is recorded. A program before this one kept the kind where a bundle brought it, and
-- had no column for it.
CREATE TABLE tool_with_measuring_kind (
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

INSERT INTO tool_with_measuring_kind
SELECT
  tool_id, setter_id, tool.kind, name, shape,
  (SELECT CASE WHEN json_type(r.record, '$.measuring_kind') = 'text'
    THEN r.record ->> '$.measuring_kind' END
   FROM revision AS r WHERE r.revision_id = tool.revision_id AND json_valid(r.record)),
  size_um, angle_deg, seats_cut, resolution_um, mpe_um, note, tool.revision_id, tool.hidden, clash
FROM tool;

DROP TABLE tool;
ALTER TABLE tool_with_measuring_kind RENAME TO tool;
CREATE INDEX tool_by_setter ON tool (setter_id, tool_id);
