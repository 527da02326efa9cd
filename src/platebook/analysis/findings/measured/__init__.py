"""What readings say: heights, and how wide and deep seats came out."""
