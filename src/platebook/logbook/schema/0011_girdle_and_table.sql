-- New in the record: stone_girdle_min_mm, stone_girdle_max_mm, stone_table_off_mm.
ALTER TABLE attempt ADD COLUMN stone_girdle_min_mm REAL;
ALTER TABLE attempt ADD COLUMN stone_girdle_max_mm REAL;
ALTER TABLE attempt ADD COLUMN stone_table_off_mm REAL;
