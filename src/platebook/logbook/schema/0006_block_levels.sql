-- New in the record: block_levels.
ALTER TABLE attempt ADD COLUMN block_levels TEXT;
