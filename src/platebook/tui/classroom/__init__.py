"""Class: its setters, the queue of looks, what all share, a second look of one's own."""
