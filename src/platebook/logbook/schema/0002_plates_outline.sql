-- A plate's outline and the stones of its rows, so that it can be printed again as it was laid out.
-- The table is made anew because what follows from the revisions stays behind what is recorded.
CREATE TABLE plate_laid_out (
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
) STRICT;

INSERT INTO plate_laid_out
  (plate_id, setter_id, name, metal, metal_state, sheet_um, layers, backing, support, positions,
   across, pitch_um, note, revision_id, hidden, clash)
SELECT
  plate_id, setter_id, name, metal, metal_state, sheet_um, layers, backing, support, positions,
  across, pitch_um, note, revision_id, hidden, clash
FROM plate;

DROP TABLE plate;
ALTER TABLE plate_laid_out RENAME TO plate;
CREATE INDEX plate_by_setter ON plate (setter_id, plate_id);
