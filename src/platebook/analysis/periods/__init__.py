"""What was done in a stretch of time: evenings, weeks, months and terms, and the stock used up."""
