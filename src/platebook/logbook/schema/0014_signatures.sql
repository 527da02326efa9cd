-- Signatures of revisions and of erasings, by the id of what is signed. What is written anew (a name
-- that was taken off) is not what was signed any more.
CREATE TABLE signature (
  of_id TEXT NOT NULL PRIMARY KEY,
  key TEXT NOT NULL,
  signature TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- The keys this logbook knows, and whose it takes them for: public keys only.
CREATE TABLE known_key (
  key TEXT NOT NULL,
  person_id TEXT NOT NULL,
  name TEXT NOT NULL,
  made_us INTEGER NOT NULL,
  signature TEXT NOT NULL,
  handed_by TEXT NOT NULL,
  hand_over TEXT NOT NULL,
  how TEXT NOT NULL CHECK (how IN ('here', 'first met', 'handed over', 'answered', 'start file')),
  since_us INTEGER NOT NULL,
  teaches_us INTEGER NOT NULL CHECK (teaches_us IN (0, 1)),
  PRIMARY KEY (person_id, key)
) STRICT, WITHOUT ROWID;

-- Revisions of bundles that were left out because the key of whose name stands in them did not sign
-- them: which, and what was answered. What they say is not kept.
CREATE TABLE held_signing (
  revision_id TEXT NOT NULL PRIMARY KEY,
  digest TEXT NOT NULL,
  kind TEXT NOT NULL,
  record_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  name TEXT NOT NULL,
  signer TEXT NOT NULL,
  signer_card TEXT NOT NULL,
  replica TEXT NOT NULL,
  refused INTEGER NOT NULL CHECK (refused IN (0, 1)),
  answer TEXT NOT NULL CHECK (answer IN ('', 'take', 'leave'))
) STRICT;

CREATE TRIGGER unsign_rewritten AFTER UPDATE OF record ON revision WHEN new.record <> old.record BEGIN
  DELETE FROM signature WHERE of_id = old.revision_id;
END;
CREATE TRIGGER unsign_gone AFTER DELETE ON revision BEGIN
  DELETE FROM signature WHERE of_id = old.revision_id;
END;
CREATE TRIGGER unsign_unnamed AFTER UPDATE OF author ON change WHEN new.author <> old.author BEGIN
  DELETE FROM signature
  WHERE of_id IN (SELECT revision_id FROM revision WHERE change_id = old.change_id);
END;
CREATE TRIGGER copy_new_key AFTER INSERT ON known_key BEGIN
  INSERT OR REPLACE INTO second_copy
  VALUES ('known_key', new.person_id || ' ' || new.key,
    new.how || ' ' || new.teaches_us || ' ' || new.name || ' ' || new.made_us || ' ' ||
    new.signature || ' ' || new.handed_by || ' ' || new.hand_over || ' ' || new.since_us);
END;
CREATE TRIGGER copy_key AFTER UPDATE ON known_key BEGIN
  DELETE FROM second_copy
  WHERE of_table = 'known_key' AND of_row = old.person_id || ' ' || old.key;
  INSERT OR REPLACE INTO second_copy
  VALUES ('known_key', new.person_id || ' ' || new.key,
    new.how || ' ' || new.teaches_us || ' ' || new.name || ' ' || new.made_us || ' ' ||
    new.signature || ' ' || new.handed_by || ' ' || new.hand_over || ' ' || new.since_us);
END;
CREATE TRIGGER forget_key AFTER DELETE ON known_key BEGIN
  DELETE FROM second_copy
  WHERE of_table = 'known_key' AND of_row = old.person_id || ' ' || old.key;
END;
