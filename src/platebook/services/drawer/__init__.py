"""The tools a setter owns, and what is known of the ones that measure."""
