-- New in the record: seats, verdicts, proposed, seen.
ALTER TABLE setter ADD COLUMN seats TEXT;
ALTER TABLE plate ADD COLUMN verdicts TEXT;
ALTER TABLE attempt ADD COLUMN proposed TEXT;
ALTER TABLE attempt ADD COLUMN seen TEXT;
