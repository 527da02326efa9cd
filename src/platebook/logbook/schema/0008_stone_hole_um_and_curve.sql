-- New in the record: stone_hole_um, curve, curve_radius_um.
ALTER TABLE attempt ADD COLUMN stone_hole_um INTEGER;
ALTER TABLE attempt ADD COLUMN curve TEXT;
ALTER TABLE attempt ADD COLUMN curve_radius_um INTEGER;
