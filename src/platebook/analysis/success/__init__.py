"""How well it goes now: the share that comes out good, its curve, whether it is stuck."""
