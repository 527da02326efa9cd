"""What the drawings of faults, answers and steps are made of: a stone, its seat, tools, in mm."""
