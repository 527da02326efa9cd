"""The same over a class: what it shares, what is one setter's own, how eyes agree."""
