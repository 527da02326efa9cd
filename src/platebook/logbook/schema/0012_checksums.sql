-- A checksum of each change and each revision, filled in by the program that takes this step, so that a
-- bit that flips on the disk is told from what was saved.
ALTER TABLE change ADD COLUMN checksum TEXT;
ALTER TABLE revision ADD COLUMN checksum TEXT;

-- What is kept beside the records is small, and is written down a second time instead.
CREATE TABLE second_copy (
  of_table TEXT NOT NULL,
  of_row TEXT NOT NULL,
  content TEXT NOT NULL,
  PRIMARY KEY (of_table, of_row)
) STRICT, WITHOUT ROWID;

INSERT INTO second_copy SELECT 'replica', only, replica FROM replica;
INSERT INTO second_copy SELECT 'default_value', name, value FROM default_value;
INSERT INTO second_copy
SELECT 'tombstone', record_id, kind || ' ' || replica || ' ' || erased_us FROM tombstone;
INSERT INTO second_copy SELECT 'course_text', digest, course || ' ' || version FROM course_text;

CREATE TRIGGER copy_new_replica AFTER INSERT ON replica BEGIN
  INSERT OR REPLACE INTO second_copy VALUES ('replica', new.only, new.replica);
END;
CREATE TRIGGER copy_replica AFTER UPDATE ON replica BEGIN
  INSERT OR REPLACE INTO second_copy VALUES ('replica', new.only, new.replica);
END;
CREATE TRIGGER copy_new_default AFTER INSERT ON default_value BEGIN
  INSERT OR REPLACE INTO second_copy VALUES ('default_value', new.name, new.value);
END;
CREATE TRIGGER copy_default AFTER UPDATE ON default_value BEGIN
  DELETE FROM second_copy WHERE of_table = 'default_value' AND of_row = old.name;
  INSERT OR REPLACE INTO second_copy VALUES ('default_value', new.name, new.value);
END;
CREATE TRIGGER forget_default AFTER DELETE ON default_value BEGIN
  DELETE FROM second_copy WHERE of_table = 'default_value' AND of_row = old.name;
END;
CREATE TRIGGER copy_new_tombstone AFTER INSERT ON tombstone BEGIN
  INSERT OR REPLACE INTO second_copy
  VALUES ('tombstone', new.record_id, new.kind || ' ' || new.replica || ' ' || new.erased_us);
END;
CREATE TRIGGER copy_new_course_text AFTER INSERT ON course_text BEGIN
  INSERT OR REPLACE INTO second_copy
  VALUES ('course_text', new.digest, new.course || ' ' || new.version);
END;
