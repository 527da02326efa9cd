"""What is asked of a log: its candidates, where they are parted, how strong each stands."""
