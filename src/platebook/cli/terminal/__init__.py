"""What all commands share: options, questions, completion, the bar of long work."""
