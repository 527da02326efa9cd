"""Which drill and which burs to take: what each would do in this hand, and what to buy."""
