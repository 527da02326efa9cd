"""What may be claimed: null logs, checkpoints, what counts bear out, what has ended."""
