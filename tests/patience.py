"""How long a test waits for something that has to come: only a test that fails waits so long.

Far longer than any machine needs, since a busy one may take ten times what an idle one does.
"""

PATIENCE = 60.0
"""Seconds."""
