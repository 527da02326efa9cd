"""Taking a person out for good: from the file, from its copies, and when others ask for it."""
