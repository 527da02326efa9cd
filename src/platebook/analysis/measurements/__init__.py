"""What is learned from measured seats: readings, overcut, the hand."""
